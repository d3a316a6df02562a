import { useCallback } from 'react';
import type { TrialSummary } from '../../../shared-lib/trial/trial-model.ts';
import { useConnection } from '../../api-client/ConnectionContext.tsx';
import { formatDateTime } from '../../ui/date-time.ts';
import { useTorqueDisplay } from '../../ui/torque-display.ts';
import { trialsAsTable } from '../copying/copy-trials.ts';
import { type CopyOutcome, useCopy } from '../copying/use-copy.ts';

export interface TrialCopier {
  readonly outcome: CopyOutcome | null;
  readonly canCopy: boolean;
  /** The picked trials, or the row that the arrow keys have come to. */
  readonly copy: () => void;
  /** For the browser's own copying: the text, or null where it has to be fetched; then it is copied once it is there. */
  readonly copyAtOnce: () => string | null;
}

const ONE_ROW = '1 row with its header';

export function useTrialCopy(active: TrialSummary | undefined, picked: ReadonlySet<string>): TrialCopier {
  const connection = useConnection();
  const torque = useTorqueDisplay();
  const { outcome, copyText, tellCopied } = useCopy();

  const asTable = (trials: readonly TrialSummary[]) => trialsAsTable(trials, torque, formatDateTime);
  // Picked rows may lie far apart in the list, where nothing has been fetched, and may have changed since.
  const fetchPicked = useCallback(async () => {
    const records = await Promise.all(
      [...picked].map((trialId) => connection.request('getTrial', { trialId })),
    );
    return records.map(({ summary }) => summary).toSorted((a, b) => b.startedAt.localeCompare(a.startedAt));
  }, [connection, picked]);

  const copyPicked = () => {
    const what = picked.size === 1 ? ONE_ROW : `${picked.size} rows with their header`;
    void copyText(what, async () => asTable(await fetchPicked()));
  };
  return {
    outcome,
    canCopy: picked.size > 0 || active !== undefined,
    copy: () => {
      if (picked.size > 0) copyPicked();
      else if (active !== undefined) void copyText(ONE_ROW, asTable([active]));
    },
    copyAtOnce: () => {
      if (picked.size > 0) {
        copyPicked();
        return null;
      }
      if (active === undefined) return null;
      tellCopied(ONE_ROW);
      return asTable([active]);
    },
  };
}
