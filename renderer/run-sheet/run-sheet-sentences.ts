import { formatNumber, THIN_SPACE } from '../../shared-lib/format-quantity.ts';
import type {
  Order,
  Role,
  RunSheetEntry,
  RunSheetSummary,
} from '../../shared-lib/run-sheet/run-sheet-model.ts';

export const orderLabels: Readonly<Record<Order, string>> = {
  rounds: 'In rounds, order mixed',
  blocks: 'Tool by tool',
  asListed: 'In rounds, order as listed',
};

export const roleWords: Readonly<Record<Role, string>> = {
  counted: 'counted',
  conditioning: 'conditioning, not counted',
  reference: 'reference',
};

/** "2 h 5 min", "12 min"; under a minute in seconds. */
export function durationWords(durationS: number): string {
  if (durationS < 60) return `${formatNumber(Math.round(durationS), 0)}${THIN_SPACE}s`;
  const minutes = Math.round(durationS / 60);
  const hours = Math.floor(minutes / 60);
  const rest = minutes % 60;
  if (hours === 0) return `${minutes}${THIN_SPACE}min`;
  return rest === 0 ? `${hours}${THIN_SPACE}h` : `${hours}${THIN_SPACE}h ${rest}${THIN_SPACE}min`;
}

/** How far a sheet has come: "12 of 27 pulled, 1 skipped". */
export function progressWords({
  doneCount,
  skippedCount,
  totalCount,
}: Pick<RunSheetSummary, 'doneCount' | 'skippedCount' | 'totalCount'>): string {
  const skipped = skippedCount === 0 ? '' : `, ${skippedCount} skipped`;
  return `${doneCount} of ${totalCount} pulled${skipped}`;
}

export function entryStateWords({ state, skipReason, trialIds }: RunSheetEntry): string {
  switch (state) {
    case 'done':
      return trialIds.length === 1 ? 'pulled' : `pulled, attempt ${trialIds.length}`;
    case 'skipped':
      return `skipped: ${skipReason ?? 'no reason stored'}`;
    case 'open':
      if (trialIds.length === 0) return 'open';
      return trialIds.length === 1
        ? 'open, 1 attempt not kept'
        : `open, ${trialIds.length} attempts not kept`;
  }
}

/** A name nobody has to think of: the plan and the day. */
export function suggestedName(planName: string, day: string): string {
  return `${planName}, ${day}`;
}
