import type { TrialDecision, TrialRecord } from '../trial/trial-model.ts';
import { trailOf, type TrailEntry } from '../trial/words/trail.ts';
import { caution, type ReportSection, section, text, trail } from './report-blocks.ts';
import { trailText } from './report-of-trial.ts';

/** Trials by the number that they have in the tables, the trail and the list of identities of one report. */
export type TrialNumbers = ReadonlyMap<string, number>;

/** From 1, in the order in which they were pulled. */
export function numberTrials(
  trials: readonly { readonly trialId: string; readonly startedAt: string }[],
): TrialNumbers {
  return new Map(
    trials
      .toSorted(
        (one, other) =>
          one.startedAt.localeCompare(other.startedAt) || one.trialId.localeCompare(other.trialId),
      )
      .map(({ trialId }, index) => [trialId, index + 1]),
  );
}

export function numberOf(numbers: TrialNumbers, trialId: string): string {
  const number = numbers.get(trialId);
  return number === undefined ? '–' : String(number);
}

export interface TrailWordsOfReport {
  readonly formatTorque: (torqueNm: number) => string;
  readonly calibrationLabel: (calibrationId: string) => string | null;
}

/**
 * What was decided about trials: voids, restores, other names, other calibrations, notes. Trials that were only kept are counted, and
 * figures that were computed are left to the report of the trial itself.
 */
export function decisionsSection(
  records: readonly TrialRecord[],
  numbers: TrialNumbers,
  words: TrailWordsOfReport,
): ReportSection[] {
  const onlyKept = records.filter(({ decisions }) => isOnlyKept(decisions)).length;
  const events = records.flatMap((record) =>
    trailOf(record, words)
      .filter((entry) => isTold(entry, record))
      .map((entry) => ({
        at: entry.at,
        text: `Trial ${numberOf(numbers, record.summary.id)}. ${trailText(entry)}`,
      })),
  );
  return section('Who decided what, and when', [
    text(keptWords(onlyKept, records.length)),
    ...(records.some(isKeptAfterShown)
      ? [
          caution(
            'Figures of some trials had been shown before they were kept; each is named in the list below.',
          ),
        ]
      : []),
    trail(events),
  ]);
}

function isOnlyKept(decisions: readonly TrialDecision[]): boolean {
  return decisions.length === 1 && decisions[0]?.decision === 'kept';
}

function isKeptAfterShown({ decisions }: TrialRecord): boolean {
  return decisions.some(({ decision, figuresShown }) => decision === 'kept' && figuresShown);
}

function isTold({ what, at }: TrailEntry, { decisions }: TrialRecord): boolean {
  if (what === 'Figures') return false;
  if (what !== 'Decision' || !isOnlyKept(decisions)) return true;
  return decisions.some((decision) => decision.at === at && decision.figuresShown);
}

function keptWords(onlyKept: number, all: number): string {
  if (all === 0) return '';
  const kept = onlyKept === 1 ? '1 was kept' : `${onlyKept} were kept`;
  return `Of ${all === 1 ? '1 trial' : `${all} trials`} ${kept} and nothing else was ever decided about ${onlyKept === 1 ? 'it' : 'them'}. A trial of good quality is kept before its figures are shown, so that nobody picks results.`;
}
