import { useEffect, useState } from 'react';
import type { Standings } from '../../../shared-lib/standings/standings-model.ts';
import {
  changesSince,
  isNothingChanged,
  type LookChanges,
  readSeen,
  type SeenTable,
  seenOf,
} from './last-look.ts';

export interface LastLook {
  /** Null: nothing is other than when it was last looked at. */
  readonly changes: LookChanges | null;
  readonly at: string;
  /** What stands there now is the last look from here on. */
  readonly takeAsSeen: () => void;
}

const storageKey = (tableId: string) => `proofarm.standingsSeen.${tableId}`;
const asSeenNow = (standings: Standings) => seenOf(standings, new Date().toISOString());

/** Mount it afresh for each table. The marks stay until the user has said that they were seen. */
export function useLastLook(standings: Standings): LastLook {
  const tableId = standings.table.id;
  // Without a look before this one, what comes while the page is open is held against what it first showed.
  const [seen, setSeen] = useState<SeenTable>(
    () => readSeen(localStorage.getItem(storageKey(tableId))) ?? asSeenNow(standings),
  );
  const changes = changesSince(seen, standings);
  const isOther = !isNothingChanged(changes);
  useEffect(() => {
    if (!isOther) localStorage.setItem(storageKey(tableId), JSON.stringify(asSeenNow(standings)));
  }, [isOther, standings, tableId]);
  return {
    changes: isOther ? changes : null,
    at: seen.at,
    takeAsSeen: () => {
      const now = asSeenNow(standings);
      localStorage.setItem(storageKey(tableId), JSON.stringify(now));
      setSeen(now);
    },
  };
}
