import { useDeferredValue, useEffect } from 'react';
import { readingCalibrationId } from '../../shared-lib/trial/assignment.ts';
import { AppError } from '../../shared-lib/app-error.ts';
import type { TrialRecord } from '../../shared-lib/trial/trial-model.ts';
import { useConnection } from '../api-client/ConnectionContext.tsx';
import { useRequest } from '../api-client/use-request.ts';
import { EmptyState } from '../ui/EmptyState.tsx';
import { FailureNotice } from '../ui/FailureNotice.tsx';
import { formatTrialTime } from '../ui/date-time.ts';
import { LinkButton } from '../ui/LinkButton.tsx';
import { Page } from '../ui/Panel.tsx';
import { ShareLink } from '../share/ShareLink.tsx';
import { StateShape } from '../ui/StateShape.tsx';
import { TrialCurvePanel } from './curve/TrialCurvePanel.tsx';
import { rememberedAddress } from './list/remembered-row.ts';
import './logbook.css';
import { SuspicionPanel } from './suspects/SuspicionPanel.tsx';
import { ConditionsPanel } from './trial/ConditionsPanel.tsx';
import { FiguresPanel } from './trial/FiguresPanel.tsx';
import { NotePanel } from './trial/NotePanel.tsx';
import { TestedPanel } from './trial/TestedPanel.tsx';
import { TrailPanel } from './trial/TrailPanel.tsx';
import './trial/trial.css';
import { TrialEvents } from './trial/TrialEvents.tsx';
import { WhatIfPanel } from './trial/WhatIfPanel.tsx';
import {
  interruptionWords,
  possibleDecisions,
  readByWords,
  stateWords,
} from '../../shared-lib/trial/words/trial-sentences.ts';

export function TrialPage({ trialId }: { readonly trialId: string }) {
  useUnpackedEarly(trialId);
  const { result: record, error } = useRequest('getTrial', { trialId }, 'trialsChanged');
  const isThis = record?.summary.id === trialId;
  return (
    <Page
      title={isThis ? `${record.summary.step.toolName}, ${record.summary.step.direction}` : 'Trial'}
      actions={
        <>
          <LinkButton href={rememberedAddress()} look="quiet">
            Back to the list
          </LinkButton>
          {isThis && record.summary.state !== 'recording' ? (
            <ShareLink subject={{ kind: 'trial', trialId }} of="this trial" />
          ) : null}
        </>
      }
    >
      <FailureNotice error={error} />
      {isThis ? <TrialView key={trialId} record={record} /> : null}
      {error?.code === 'trial-not-found' && !isThis ? (
        <EmptyState title="No such trial" actions={<LinkButton href="/logbook">All trials</LinkButton>}>
          <p>Trials are never deleted; this address may belong to other data.</p>
        </EmptyState>
      ) : null}
    </Page>
  );
}

/** The least of its curve is asked for at once, so that the program unpacks the samples while the page is being built. */
function useUnpackedEarly(trialId: string) {
  const connection = useConnection();
  useEffect(() => {
    const least = { trialId, fromS: null, toS: null, bins: 10, withDisplay: false };
    // What is wrong with it is said where the curve is to stand.
    connection.request('getTrialCurve', least).catch(ignoreFailure);
  }, [connection, trialId]);
}

function ignoreFailure(error: unknown) {
  if (!(error instanceof AppError)) throw error;
}

function TrialView({ record }: { readonly record: TrialRecord }) {
  const { summary, figures, conditions } = record;
  // A version that is superseded while the trial is open keeps its id, so the list need not be followed.
  const { result } = useRequest('listCalibrations', { transducerId: conditions.transducer.id });
  const calibrations = result?.calibrations ?? [];
  const calibrationOf = (wanted: string) => calibrations.find(({ id }) => id === wanted) ?? null;
  const readBy = calibrationOf(readingCalibrationId(record));
  const readBySentence = result === null ? '' : readByWords(record, readBy);
  const isToBeDecided = possibleDecisions(summary).includes('keep');
  // The curve is what is waited for: what stands below it follows in its own time.
  const hasRest = useDeferredValue(true, false);
  const trail = (
    <TrailPanel
      record={record}
      calibrationLabel={(calibrationId) => calibrationOf(calibrationId)?.label ?? null}
    />
  );
  return (
    <>
      <TrialHead record={record} />
      {isToBeDecided ? trail : null}
      <TrialCurvePanel record={record} readBy={readBySentence} />
      {hasRest ? (
        <div className="trial-columns trial-rest">
          <div className="trial-column">
            <FiguresPanel record={record} readBy={readBySentence} calibration={readBy} />
            <ConditionsPanel record={record} calibration={calibrationOf(conditions.calibrationId)} />
          </div>
          <div className="trial-column">
            <TestedPanel record={record} />
            <NotePanel record={record} />
            <SuspicionPanel record={record} />
            {isToBeDecided ? null : trail}
            <TrialEvents record={record} />
          </div>
        </div>
      ) : null}
      {!hasRest || figures === null ? null : (
        <WhatIfPanel record={record} figures={figures} calibrations={calibrations} />
      )}
    </>
  );
}

function TrialHead({ record: { summary, interruption } }: { readonly record: TrialRecord }) {
  return (
    <div className="trial-head">
      <p>
        {formatTrialTime(summary.startedAt)}. <strong>{stateWords(summary)}</strong>
        {interruption === null ? '' : `: ${interruptionWords(interruption)}`}.
      </p>
      {summary.benchName === undefined ? null : <span className="trial-mark">from {summary.benchName}</span>}
      {summary.isSimulated ? <span className="trial-mark">simulated</span> : null}
      {summary.suspicion?.decision === null ? (
        <span className="trial-mark">
          <StateShape shape="caution" /> suspect
        </span>
      ) : null}
    </div>
  );
}
