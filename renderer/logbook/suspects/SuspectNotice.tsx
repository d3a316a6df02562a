import { useEffect, useState } from 'react';
import { Link } from 'wouter';
import { AppError } from '../../../shared-lib/app-error.ts';
import { formatNumber } from '../../../shared-lib/format-quantity.ts';
import { useConnection } from '../../api-client/ConnectionContext.tsx';
import { FailureNotice } from '../../ui/FailureNotice.tsx';
import { Notice } from '../../ui/Notice.tsx';
import { Panel } from '../../ui/Panel.tsx';
import { calibrateAddresses } from '../../calibrate/calibrate-addresses.ts';
import { fetchMatching } from '../reassign/matching-trials.ts';
import type { TrialQuery } from '../trial-pages.ts';
import { DecideSuspects } from './DecideSuspects.tsx';

interface SuspectNoticeProps {
  /** The same object for as long as the filter is the same. */
  readonly query: TrialQuery;
  /** How many the filter finds; a change of it asks for them anew. */
  readonly total: number;
}

/** Above the suspect trials: what the mark means, and the decision about all that the filter shows. */
export function SuspectNotice({ query, total }: SuspectNoticeProps) {
  const connection = useConnection();
  const [trialIds, setTrialIds] = useState<readonly string[]>([]);
  const [failureCount, setFailureCount] = useState(0);
  const [error, setError] = useState<AppError | null>(null);
  useEffect(() => {
    let isWanted = true;
    fetchMatching(connection, query).then(
      (trials) => {
        if (!isWanted) return;
        setTrialIds(trials.map(({ id }) => id));
        setFailureCount(new Set(trials.map(({ suspicion }) => suspicion?.checkId)).size);
      },
      (failure: unknown) => {
        if (!(failure instanceof AppError)) throw failure;
        if (isWanted) setError(failure);
      },
    );
    return () => {
      isWanted = false;
    };
  }, [connection, query, total]);
  return (
    <Panel
      title={total === 1 ? '1 suspect trial' : `${formatNumber(total, 0)} suspect trials`}
      lead="A daily check failed after them and before the next that passed, so nobody knows whether the bench still read right. They stay as they are until somebody decides; open one to decide about it alone."
    >
      <FailureNotice error={error} />
      {failureCount > 1 ? (
        <Notice
          kind="information"
          actions={<Link href={calibrateAddresses.check}>Decide check by check</Link>}
        >
          They are under the marks of {failureCount} failed checks, and what is decided here is decided about
          all of them with one reason.
        </Notice>
      ) : null}
      {trialIds.length === 0 ? null : <DecideSuspects trialIds={trialIds} checkId={null} />}
    </Panel>
  );
}
