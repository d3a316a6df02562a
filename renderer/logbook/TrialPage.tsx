import { Link } from 'wouter';
import { readingCalibrationId } from '../../shared-lib/trial/assignment.ts';
import type { TrialRecord } from '../../shared-lib/trial/trial-model.ts';
import { useRequest } from '../api-client/use-request.ts';
import { STATIC_CALIBRATION } from '../bench/bench-sentences.ts';
import { QualityMark } from '../bench/QualityMark.tsx';
import { reportAddress } from '../calibrate/calibrate-addresses.ts';
import { DataList, DataRow } from '../ui/DataRow.tsx';
import { formatTrialTime } from '../ui/date-time.ts';
import { FailureNotice } from '../ui/FailureNotice.tsx';
import { Page, Panel } from '../ui/Panel.tsx';
import { StateShape } from '../ui/StateShape.tsx';
import { useTorqueDisplay } from '../ui/torque-display.ts';
import { conditionRows } from './condition-rows.ts';
import { CountsDownload } from './CountsDownload.tsx';
import { figureRows } from './figure-rows.ts';
import './logbook.css';
import { describeTrialClock } from './trial-clock.ts';
import { TrialCurvePanel } from './TrialCurvePanel.tsx';
import { TrialDecisions } from './TrialDecisions.tsx';
import { TrialFaults } from './TrialFaults.tsx';
import { SuspicionPanel } from './suspects/SuspicionPanel.tsx';
import { interruptionWords, possibleDecisions, readByWords, stateWords } from './trial-sentences.ts';

export function TrialPage({ trialId }: { readonly trialId: string }) {
  const { result: record, error } = useRequest('getTrial', { trialId }, 'trialsChanged');
  const isThis = record?.summary.id === trialId;
  return (
    <Page
      title={isThis ? `${record.summary.step.toolName}, ${record.summary.step.direction}` : 'Trial'}
      actions={
        <Link href="/logbook" className="logbook-link">
          All trials
        </Link>
      }
    >
      <FailureNotice error={error} />
      {isThis ? <TrialView record={record} /> : null}
    </Page>
  );
}

function TrialView({ record }: { readonly record: TrialRecord }) {
  const { summary, interruption } = record;
  const isToBeDecided = possibleDecisions(summary).includes('keep');
  return (
    <>
      <div className="trial-head">
        <p>
          {formatTrialTime(summary.startedAt)}. <strong>{stateWords(summary)}</strong>
          {interruption === null ? '' : `: ${interruptionWords(interruption)}`}.
        </p>
        {summary.isSimulated ? <span className="trial-mark">simulated</span> : null}
        {summary.suspicion?.decision === null ? (
          <span className="trial-mark">
            <StateShape shape="caution" /> suspect
          </span>
        ) : null}
      </div>
      {isToBeDecided ? <TrialDecisions record={record} /> : null}
      <TrialCurvePanel record={record} />
      <div className="trial-columns">
        <FiguresPanel record={record} />
        <div className="trial-column">
          {isToBeDecided ? null : <TrialDecisions record={record} />}
          <SuspicionPanel summary={summary} />
          <TrialFaults record={record} />
          <ConditionsPanel record={record} />
        </div>
      </div>
    </>
  );
}

function FiguresPanel({ record }: { readonly record: TrialRecord }) {
  const torque = useTorqueDisplay();
  const calibration = useCalibration(readingCalibrationId(record));
  const { figures } = record;
  if (figures === null) {
    return (
      <Panel title="Figures">
        <p>
          They show once the trial has been kept. Until then they stay hidden, so that nobody picks results by
          them.
        </p>
      </Panel>
    );
  }
  return (
    <Panel title="Figures" lead="Positive in the direction of the trial.">
      <QualityMark quality={figures.quality} isVoided={record.summary.isVoided} />
      <DataList label="Figures">
        {figureRows(figures, torque).map(({ name, value, hint, isRefused }) => (
          <DataRow
            key={name}
            name={name}
            kind={isRefused ? 'text' : 'figure'}
            {...(hint === null ? {} : { note: hint })}
          >
            {value}
          </DataRow>
        ))}
      </DataList>
      <p className="trial-aside">
        {STATIC_CALIBRATION} {readByWords(record, calibration)}{' '}
        {calibration === null ? null : <Link href={reportAddress(calibration.id)}>Its report</Link>}
      </p>
    </Panel>
  );
}

function ConditionsPanel({ record }: { readonly record: TrialRecord }) {
  const torque = useTorqueDisplay();
  const calibration = useCalibration(record.conditions.calibrationId);
  const clock = describeTrialClock(record);
  return (
    <Panel title="The bench as it was">
      <DataList label="Conditions">
        {conditionRows(record, calibration, torque).map(({ name, value }) => (
          <DataRow key={name} name={name}>
            {value}
          </DataRow>
        ))}
      </DataList>
      <h3>What the times are worth</h3>
      <p>{clock.promise}</p>
      {clock.fit === null ? null : <p>{clock.fit}</p>}
      <CountsDownload record={record} />
    </Panel>
  );
}

function useCalibration(calibrationId: string) {
  // A version that is superseded while the trial is open keeps its id, so the list need not be followed.
  const { result } = useRequest('listCalibrations', {});
  return result?.calibrations.find(({ id }) => id === calibrationId) ?? null;
}
