import { useState } from 'react';
import type { StopCause, TrialRecord } from '../../../shared-lib/trial/trial-model.ts';
import { useConnection } from '../../api-client/ConnectionContext.tsx';
import { useAction } from '../../api-client/use-action.ts';
import { usualRestoreReasons, usualVoidReasons } from '../../bench/decision-reasons.ts';
import { QualityMark } from '../../bench/QualityMark.tsx';
import { ReasonDialog } from '../../bench/ReasonDialog.tsx';
import { StopCauseButtons } from '../../bench/StopCauseButtons.tsx';
import { operatorWords } from '../../../shared-lib/calibration/words/calibration-sentences.ts';
import { Button } from '../../ui/Button.tsx';
import { formatDateTime } from '../../ui/date-time.ts';
import { FailureNotice } from '../../ui/FailureNotice.tsx';
import { LinkButton } from '../../ui/LinkButton.tsx';
import { ActionRow, Panel } from '../../ui/Panel.tsx';
import { useTorqueDisplay } from '../../ui/torque-display.ts';
import { asksStopCause } from '../../../shared-lib/trial/words/stop-causes.ts';
import { possibleDecisions } from '../../../shared-lib/trial/words/trial-sentences.ts';
import { trailOf } from '../../../shared-lib/trial/words/trail.ts';

interface TrailPanelProps {
  readonly record: TrialRecord;
  /** Null: it is not in the list. */
  readonly calibrationLabel: (calibrationId: string) => string | null;
}

/** What became of a trial since it was stored, and what can be decided about it now. */
export function TrailPanel({ record, calibrationLabel }: TrailPanelProps) {
  const torque = useTorqueDisplay();
  const trail = trailOf(record, { formatTorque: torque.format, calibrationLabel });
  const { undecidedQuality, summary } = record;
  return (
    <Panel
      title="Trail"
      lead="All that became of it, oldest first. Nothing is ever taken out."
      actions={<DecisionActions record={record} />}
    >
      {undecidedQuality === null || summary.isVoided ? null : <QualityMark quality={undecidedQuality} />}
      {trail.length === 0 ? (
        <p>Nothing has been decided yet.</p>
      ) : (
        <ol className="trial-trail">
          {trail.map(({ at, operator, what, sentence }, index) => (
            <li key={`${index} ${at} ${what}`}>
              <span className="trial-aside">
                <strong>{what}</strong> · {formatDateTime(at)},{' '}
                {operator === null ? 'by the program' : operatorWords(operator)}
              </span>
              <span className="logbook-text">{sentence}</span>
            </li>
          ))}
        </ol>
      )}
    </Panel>
  );
}

function DecisionActions({ record }: { readonly record: TrialRecord }) {
  const connection = useConnection();
  const { run, isBusy, error } = useAction();
  const [asked, setAsked] = useState<'void' | 'restore' | null>(null);
  const trialId = record.summary.id;
  const possible = possibleDecisions(record.summary);
  const voiding = possible.find((decision) => decision !== 'keep');
  const { undecidedQuality } = record;
  const keep = (stopCause?: StopCause) =>
    void run(() => connection.request('keepTrial', { trialId, stopCause }));
  return (
    <>
      <ActionRow>
        {!possible.includes('keep') ? null : undecidedQuality !== null && asksStopCause(undecidedQuality) ? (
          <StopCauseButtons isBusy={isBusy} onKeep={keep} />
        ) : (
          <Button look="primary" isPending={isBusy} onPress={() => keep()}>
            Keep this trial
          </Button>
        )}
        {record.figures === null ? null : (
          <LinkButton href={`/logbook/reassign?trial=${encodeURIComponent(trialId)}`}>
            Reassign to another calibration
          </LinkButton>
        )}
        {/* One button for both ways, so that the focus is still there when the dialog gives it back. */}
        {voiding === undefined ? null : (
          <Button key="voiding" onPress={() => setAsked(voiding)}>
            {voiding === 'void' ? 'Void this trial' : 'Take the void back'}
          </Button>
        )}
      </ActionRow>
      <FailureNotice error={error} />
      {asked === 'void' ? (
        <ReasonDialog
          title="Void this trial"
          lead="It stays in the Logbook with its reason, and can be taken back."
          usualReasons={usualVoidReasons}
          actionLabel="Void this trial"
          onDecide={(reason) => connection.request('voidTrial', { trialId, reason })}
          onClose={() => setAsked(null)}
        />
      ) : null}
      {asked === 'restore' ? (
        <ReasonDialog
          title="Take the void back"
          lead="The trial counts again. That it was voided, and why, stays in this list."
          usualReasons={usualRestoreReasons}
          actionLabel="Take the void back"
          onDecide={(reason) => connection.request('restoreTrial', { trialId, reason })}
          onClose={() => setAsked(null)}
        />
      ) : null}
    </>
  );
}
