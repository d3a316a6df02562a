import { THIN_SPACE } from '../../shared-lib/format-quantity.ts';
import { describeEntry, describeSetup } from '../../shared-lib/run-sheet/describe-entry.ts';
import type { RunSheetEntry, SheetOnBench } from '../../shared-lib/run-sheet/run-sheet-model.ts';
import { type BenchSentences, nothing, type PrimaryAction } from './primary-action.ts';
import { beforeStart, describePull, describeTime } from './step-words.ts';

type Next = Pick<BenchSentences, 'next' | 'detail' | 'mark' | 'primary'>;

/** What the run sheet on the bench wants next, and what a press does for it. */
export function describeSheet(sheet: SheetOnBench): Next {
  const { current, following, rounds, asks } = sheet;
  if (current === null) return describeDone(sheet);
  const told = { next: describeEntry(current, { rounds }), mark: roleMark(current.role) };
  if (!sheet.isSetupInHand) {
    const label = `Take up ${describeSetup(current.setup)}`;
    return {
      ...told,
      detail:
        asks.length === 0 ? 'Take it up, then press.' : 'Take it up, put right what has changed, press.',
      primary: { does: 'takeUp', label, entryId: current.id },
    };
  }
  const follows = describeFollowing(current, following[0] ?? null);
  if (isResting(sheet)) return { ...told, detail: follows, primary: nothing('Resting') };
  return {
    ...told,
    detail: [beforeStart(current.step), `${describeTime(current.step.plannedS)}.`, follows]
      .filter((part) => part !== null)
      .join(' '),
    primary: startOf(current),
  };
}

export function startOf({ id, trialIds }: Pick<RunSheetEntry, 'id' | 'trialIds'>): PrimaryAction {
  return { does: 'start', label: trialIds.length > 0 ? 'Repeat' : 'Start', entryId: id };
}

export function isResting({ current, isSetupInHand, restLeftS }: SheetOnBench): boolean {
  return current !== null && isSetupInHand && restLeftS !== null && restLeftS > 0;
}

/** How a pull differs from those that count; null: it counts. */
export function roleMark(role: RunSheetEntry['role']): string | null {
  switch (role) {
    case 'conditioning':
      return 'conditioning, not counted';
    case 'reference':
      return 'reference';
    case 'counted':
      return null;
  }
}

/** "Then reverse, 10 s." with the same setup, "Then Tarnwick T6, pack 1, forward, 5 s." with another. */
export function describeFollowing(current: RunSheetEntry, next: RunSheetEntry | null): string {
  if (next === null) return 'It is the last one.';
  const isSameSetup = next.setup.setupId === current.setup.setupId;
  const pull = describePull(next.step);
  return `Then ${isSameSetup ? pull : `${describeSetup(next.setup)}, ${pull}`}.`;
}

/** "Round 2 of 3", "Before the first round", "After the last round". */
export function describeRound({ current, doneCount, rounds }: SheetOnBench): string {
  if (current === null) return 'All rounds are over';
  if (current.round > 0) return `Round ${current.round} of ${rounds}`;
  return doneCount === 0 ? 'Before the first round' : 'After the last round';
}

/** "12 of 27 done, 1 skipped": of the pulls that count. */
export function describeProgress({ doneCount, skippedCount, totalCount }: SheetOnBench): string {
  const skipped = skippedCount === 0 ? '' : `, ${skippedCount} skipped`;
  return `${doneCount} of ${totalCount} counted pulls done${skipped}`;
}

/** "1:27" for three metres; the last minute in seconds alone. Rounded up, so that it ends at 0 and not before. */
export function formatClock(leftS: number): { readonly digits: string; readonly unit: string } {
  const wholeS = Math.max(Math.ceil(leftS), 0);
  if (wholeS < 60) return { digits: String(wholeS), unit: `${THIN_SPACE}s` };
  return { digits: `${Math.floor(wholeS / 60)}:${String(wholeS % 60).padStart(2, '0')}`, unit: '' };
}

function describeDone(sheet: SheetOnBench): Next {
  const { rounds, roundsToPublish, skippedCount } = sheet;
  const short =
    rounds < roundsToPublish
      ? ` A published result takes ${roundsToPublish} rounds; this sheet has ${rounds}.`
      : '';
  return {
    next: skippedCount === 0 ? 'All pulls are done' : 'All pulls are done or skipped',
    detail: `${describeProgress(sheet)}.${short}`,
    mark: null,
    primary: { does: 'endSheet', label: 'End the day', runSheetId: sheet.id },
  };
}
