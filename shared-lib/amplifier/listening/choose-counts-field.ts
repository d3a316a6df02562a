import { fieldName, type CountsLikeness, type FieldFinding } from './describe-field.ts';

export interface CountsCandidate {
  readonly finding: FieldFinding;
  readonly reason: string;
}

/** So far beyond everything before, in multiples of its spread, noise and drift do not go in a second. */
const PUSH_BEYOND = 2;
const NOISE_TURNING_SHARE = 0.3;

/** The fields that may be the counts, the likeliest first, each with the reason. */
export function rankCountsFields(findings: readonly FieldFinding[]): CountsCandidate[] {
  const varying = findings.filter(({ kind }) => kind === 'varying');
  // Where there is nothing else, the counts of a quiet converter may look like flags.
  const areFlagsPossible = varying.length === 0 && findings.every(({ form }) => form.kind !== 'fraction');
  const candidates = areFlagsPossible ? findings.filter(({ kind }) => kind === 'statusFlags') : varying;
  const ranked = [...candidates].sort((one, other) => score(other.likeness) - score(one.likeness));
  return ranked.map((finding) => ({ finding, reason: explain(finding, ranked.length) }));
}

/** A push decides; before there was one, what looks most like the noise of a converter. */
function score(likeness: CountsLikeness): number {
  const { furthestBeyond, hasNegative, turningShare } = likeness;
  if (furthestBeyond >= PUSH_BEYOND) return 10 + furthestBeyond;
  return (hasNegative ? 2 : 0) + (turningShare >= NOISE_TURNING_SHARE ? 1 : 0) + turningShare;
}

function explain({ field, likeness }: FieldFinding, candidateCount: number): string {
  const name = fieldName(field);
  if (likeness.furthestBeyond >= PUSH_BEYOND) {
    return `${name} moved ${Math.round(likeness.furthestBeyond)} times beyond its earlier spread: the counts.`;
  }
  const push = 'Push the arm to see whether it follows.';
  if (candidateCount === 1)
    return `${name} is the only one that varies like a measured value: the counts. ${push}`;
  if (likeness.hasNegative) return `${name} takes both signs or is negative, as counts do. ${push}`;
  return `${name} varies like the noise of a converter. ${push}`;
}
