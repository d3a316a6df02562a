import { formatNumber, THIN_SPACE } from '../../../shared-lib/format-quantity.ts';
import type { FaultEvent, TrialRecord } from '../../../shared-lib/trial/trial-model.ts';
import { faultsOnTimeLine } from '../../../shared-lib/trial/words/trial-sentences.ts';

/** Something on the time line of a trial, in seconds from onset. */
export interface Moment {
  readonly timeS: number;
  /** At the mark in the picture; null: only in the list, since marks would cover each other. */
  readonly label: string | null;
  readonly sentence: string;
}

/** The course of the run, in the order of time. What follows from figures is there once they may be seen. */
export function momentsOf(
  { summary, figures }: Pick<TrialRecord, 'summary' | 'figures'>,
  levelWords: (levelNm: number) => string,
): Moment[] {
  const { plannedS } = summary.step;
  const moments: Moment[] = [
    { timeS: 0, label: 'onset', sentence: 'Onset: the measuring curve passed its level and held it.' },
    { timeS: plannedS, label: 'planned end', sentence: 'End of the planned time; the tail follows.' },
  ];
  if (figures === null) return moments.toSorted((one, other) => one.timeS - other.timeS);
  const { timeToLevel, timeTo90PercentS, levelledOffSinceS, breakaway } = figures;
  for (const { levelNm, timeS } of timeToLevel) {
    if (timeS !== null) {
      moments.push({ timeS, label: null, sentence: `${levelWords(levelNm)} reached and held.` });
    }
  }
  if ('value' in timeTo90PercentS) {
    moments.push({
      timeS: timeTo90PercentS.value,
      label: null,
      sentence: `90${THIN_SPACE}% of the sustained torque reached and held.`,
    });
  }
  if (levelledOffSinceS !== null) {
    moments.push({ timeS: levelledOffSinceS, label: 'levelled off', sentence: 'Levelled off from here on.' });
  }
  if (breakaway !== null && 'preloadNm' in breakaway && breakaway.releasedAtS !== null) {
    moments.push({
      timeS: breakaway.releasedAtS,
      label: 'released',
      sentence: 'The stored preload was gone for good.',
    });
  }
  return moments.toSorted((one, other) => one.timeS - other.timeS);
}

export type TimeLineEntry =
  | { readonly timeS: number; readonly moment: Moment }
  | { readonly timeS: number | null; readonly number: number; readonly fault: FaultEvent };

/** Moments and faults together; what is tied to no instant comes last. */
export function timeLineOf(
  record: Pick<TrialRecord, 'summary' | 'figures' | 'faults'>,
  recordStartS: number,
  levelWords: (levelNm: number) => string,
): TimeLineEntry[] {
  const entries: TimeLineEntry[] = [
    ...momentsOf(record, levelWords).map((moment) => ({ timeS: moment.timeS, moment })),
    ...faultsOnTimeLine(record.faults, recordStartS),
  ];
  return entries.toSorted((one, other) => (one.timeS ?? Infinity) - (other.timeS ?? Infinity));
}

export function instantWords(timeS: number | null): string {
  return timeS === null ? 'no instant' : `${formatNumber(timeS, 2)}${THIN_SPACE}s`;
}
