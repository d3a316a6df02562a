import type { PropertyValue } from './standings-model.ts';

/** Three raters: with fewer, or where all gave the same, how far they differ is not known (ours). */
const LEAST_RATER_DEGREES_OF_FREEDOM = 2;

/** A property of which something is known of how it scatters. */
type Scattering = PropertyValue & { readonly standardError: number };

/** Whether the mean of what raters said is drawn, or stands as if it were exact. */
export function isScatterKnown(property: PropertyValue): property is Scattering {
  const { standardError, degreesOfFreedom } = property;
  if (standardError === null) return false;
  // One of before says no degrees of freedom, and is drawn as it was then.
  return (
    degreesOfFreedom === undefined ||
    (degreesOfFreedom >= LEAST_RATER_DEGREES_OF_FREEDOM && standardError > 0)
  );
}

/** What is to be said of a rating beside the ranges; null: nothing, since its scatter is in them. */
export function ratingCaution(rating: PropertyValue): string | null {
  if (rating.value === null || isScatterKnown(rating)) return null;
  return rating.degreesOfFreedom === undefined
    ? 'A handling rating by one rater has no interval; the ranges take it as exact, which no judgement is.'
    : 'A handling rating by one or two raters, or by more who all gave the same: how far raters differ is not in the ranges, which take it as exact.';
}
