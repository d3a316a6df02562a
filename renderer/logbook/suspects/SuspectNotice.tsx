import { useCallback, useEffect, useRef, useState } from 'react';
import { AppError } from '../../../shared-lib/app-error.ts';
import type { OpenFailure } from '../../../shared-lib/calibration/daily-check-model.ts';
import { formatNumber } from '../../../shared-lib/format-quantity.ts';
import { useConnection } from '../../api-client/ConnectionContext.tsx';
import { throttleNewest } from '../../api-client/throttle-newest.ts';
import { formatDateTime } from '../../ui/date-time.ts';
import { FailureNotice } from '../../ui/FailureNotice.tsx';
import { Panel } from '../../ui/Panel.tsx';
import { useFocusWhenGone } from '../../ui/use-focus-when-gone.ts';
import { fetchMatching } from '../reassign/matching-trials.ts';
import type { TrialQuery } from '../trial-pages.ts';
import { DecideSuspects } from './DecideSuspects.tsx';
import { suspectsByCheck } from './suspects-by-check.ts';

interface SuspectNoticeProps {
  /** The same object for as long as the filter is the same. */
  readonly query: TrialQuery;
  /** How many the filter finds. */
  readonly total: number;
}

/** Of many trials that change at once, such as when all are measured anew. */
const REFRESH_INTERVAL_MS = 1000;

interface Looked {
  /** What was looked for: another filter has other trials, and an error of its own. */
  readonly query: TrialQuery;
  /** None where it failed. */
  readonly failures: readonly OpenFailure[];
  readonly error: AppError | null;
}

/** Until there is an answer to this filter. */
const nothingYet: Pick<Looked, 'failures' | 'error'> = { failures: [], error: null };

/** Above the suspect trials: what the mark means, and for each failed check the decision about what the filter shows of it. */
export function SuspectNotice({ query, total }: SuspectNoticeProps) {
  const connection = useConnection();
  const [looked, setLooked] = useState<Looked | null>(null);
  const [askedTimes, setAskedTimes] = useState(0);
  const headingRef = useRef<HTMLHeadingElement>(null);
  // What asks again or has decided goes away with it.
  const watch = useFocusWhenGone(() => headingRef.current);
  const askAgain = useCallback(() => setAskedTimes((times) => times + 1), []);
  // As many as before may stand under another check by now.
  useEffect(() => {
    const refresh = throttleNewest(REFRESH_INTERVAL_MS, askAgain);
    const stop = connection.subscribe('trialsChanged', refresh.take);
    return () => {
      stop();
      refresh.stop();
    };
  }, [connection, askAgain]);
  useEffect(() => {
    let isWanted = true;
    fetchMatching(connection, query).then(
      (trials) => {
        if (isWanted) setLooked({ query, failures: suspectsByCheck(trials), error: null });
      },
      (error: unknown) => {
        if (!(error instanceof AppError)) throw error;
        if (isWanted) setLooked({ query, failures: [], error });
      },
    );
    return () => {
      isWanted = false;
    };
  }, [connection, query, total, askedTimes]);
  const { failures, error } = looked?.query === query ? looked : nothingYet;
  return (
    <div {...watch}>
      <Panel
        title={total === 1 ? '1 suspect trial' : `${formatNumber(total, 0)} suspect trials`}
        headingRef={headingRef}
        lead={
          total === 1
            ? 'A daily check failed after it and before the next that passed, so nobody knows whether the bench still read right. It stays as it is until somebody decides.'
            : 'A daily check failed after them and before the next that passed, so nobody knows whether the bench still read right. They stay as they are until somebody decides; open one to decide about it alone.'
        }
      >
        <FailureNotice error={error} onAskAgain={askAgain} />
        {failures.map(({ checkId, failedAt, trialIds }) => (
          <section key={checkId} className="suspect-check">
            <h3>Under the failed check of {formatDateTime(failedAt)}</h3>
            <DecideSuspects trialIds={trialIds} checkId={checkId} />
          </section>
        ))}
      </Panel>
    </div>
  );
}
