import type { DailyCheck, OpenFailure } from '../../../shared-lib/calibration/daily-check-model.ts';
import { DecideSuspects } from '../../logbook/suspects/DecideSuspects.tsx';
import { formatDateTime } from '../../ui/date-time.ts';
import { LinkButton } from '../../ui/LinkButton.tsx';
import { Panel } from '../../ui/Panel.tsx';
import { failureSentence } from './failure-sentence.ts';

interface FailedChecksProps {
  /** Newest first. */
  readonly failures: readonly OpenFailure[];
  /** Under the calibration in use. */
  readonly checks: readonly DailyCheck[];
}

/** What each failed check means for the trials around it, until somebody has decided; a later pass does not decide it. */
export function FailedChecks({ failures, checks }: FailedChecksProps) {
  const isOneOfSeveral = failures.filter(({ trialIds }) => trialIds.length > 0).length > 1;
  return failures.map((failure) => {
    const { checkId, failedAt, trialIds } = failure;
    const isEarlierCalibration = !checks.some(({ id }) => id === checkId);
    return (
      <Panel
        key={checkId}
        title={`What the failed check of ${formatDateTime(failedAt)} means`}
        lead={failureSentence(failure, { isEarlierCalibration, formatInstant: formatDateTime })}
        actions={
          trialIds.length === 0 ? null : (
            <LinkButton href="/logbook?state=suspect">
              {isOneOfSeveral ? 'Show all suspect trials in the Logbook' : 'Show them in the Logbook'}
            </LinkButton>
          )
        }
      >
        {trialIds.length === 0 ? (
          <p>No trial waits for a decision. The bench itself has to be put right before the next one.</p>
        ) : (
          <DecideSuspects trialIds={trialIds} checkId={checkId} />
        )}
      </Panel>
    );
  });
}
