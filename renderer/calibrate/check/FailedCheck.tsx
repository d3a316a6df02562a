import type { CheckState, DailyCheck } from '../../../shared-lib/calibration/daily-check-model.ts';
import { DecideSuspects } from '../../logbook/suspects/DecideSuspects.tsx';
import { formatDateTime } from '../../ui/date-time.ts';
import { LinkButton } from '../../ui/LinkButton.tsx';
import { Panel } from '../../ui/Panel.tsx';

interface FailedCheckProps {
  readonly state: CheckState;
  /** Newest first. */
  readonly checks: readonly DailyCheck[];
  readonly suspectTrialIds: readonly string[];
}

/** What a failed check means for the trials around it, until somebody has decided; a later pass does not decide it. */
export function FailedCheck({ state, checks, suspectTrialIds }: FailedCheckProps) {
  const failed = checks.find(({ verdict }) => verdict === 'failed');
  if (failed === undefined || (suspectTrialIds.length === 0 && state.state !== 'failed')) return null;
  return (
    <Panel
      title="What the failed check means"
      lead={suspectsSentence(failed, suspectTrialIds.length)}
      actions={
        suspectTrialIds.length === 0 ? null : (
          <LinkButton href="/logbook?state=suspect">Show them in the Logbook</LinkButton>
        )
      }
    >
      {suspectTrialIds.length === 0 ? (
        <p>No trial waits for a decision. The bench itself has to be put right before the next one.</p>
      ) : (
        <DecideSuspects trialIds={suspectTrialIds} />
      )}
    </Panel>
  );
}

function suspectsSentence({ at }: DailyCheck, count: number): string {
  const when = formatDateTime(at);
  if (count === 0)
    return `The check of ${when} failed. No trial was made since the last pass, or all are decided on.`;
  const trials = count === 1 ? '1 trial' : `${count} trials`;
  return (
    `The check of ${when} failed, and nobody knows since when the bench has read wrong. So ${trials} since the last ` +
    'check that passed (or since the calibration) carry a mark. They are kept as they are; a pass later on does not ' +
    'take the mark off, your decision does.'
  );
}
