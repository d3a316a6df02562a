import type { StandingsInput } from './standings-model.ts';

/** Fewer degrees of freedom say so little of a scatter that a range from it would mean nothing (design 7). */
export const LEAST_DEGREES_OF_FREEDOM = 3;

const UNKNOWN = 'unknown';
/** Two degrees of freedom are three days of one setup: fewer days are not taken at all (day-to-day.ts). */
const KNOWN_TOO_LITTLE =
  'known from three days only, too little for a range; pull the reference tool on a fourth day';

/** Why contenders of different days are not told apart, behind "day-to-day scatter"; null: enough is known of it for a range. */
export function whyDaysTellTooLittle(known: StandingsInput['dayToDay'][number] | undefined): string | null {
  if (known == null) return UNKNOWN;
  return known.degreesOfFreedom < LEAST_DEGREES_OF_FREEDOM ? KNOWN_TOO_LITTLE : null;
}

/**
 * The sentences as they were in tables and editions of before, which called three days unknown beside the ranges and said
 * nothing of them beside the table. Others stand as they are.
 */
export function inWordsOfBefore(
  sentences: readonly string[],
  said: readonly string[],
  where: 'table' | 'ranges',
): string[] {
  if (said.some((sentence) => sentence.includes(KNOWN_TOO_LITTLE))) return [...sentences];
  return where === 'table'
    ? sentences.filter((sentence) => !sentence.includes(KNOWN_TOO_LITTLE))
    : sentences.map((sentence) => sentence.replace(KNOWN_TOO_LITTLE, UNKNOWN));
}
