import type { TrialCurve } from '../../shared-lib/api-contract.ts';

/** A stored curve ready to stand behind (or, after a reload, in place of) the live one. Torque in N·m, signed. */
export interface EarlierCurve {
  readonly trialId: string;
  readonly label: string;
  readonly colorIndex: number;
  readonly points: readonly CurvePoint[];
}

export interface CurvePoint {
  readonly x: number;
  readonly y: number;
}

/** In a label at a curve's end; more would take the curves their room. */
const LONGEST_NAME = 24;
/** More points than this are not told apart at the width of a screen. */
const MOST_POINTS = 2000;

/** Cut where it is too long for a label, with a mark that it goes on. */
export function shortenName(name: string): string {
  const characters = Array.from(name);
  return characters.length <= LONGEST_NAME
    ? name
    : `${characters
        .slice(0, LONGEST_NAME - 1)
        .join('')
        .trimEnd()}…`;
}

/** For an earlier trial: the display curve (low-passed, for the eye), or the measuring curve where there is none. */
export function pointsForTheEye(curve: TrialCurve): CurvePoint[] {
  return curve.displayNm.length > 0
    ? thinOut(curve.displayTimeS, curve.displayNm)
    : thinOut(curve.measuringTimeS, curve.measuringNm);
}

/** The raw curve as the live view draws it: up and down through the least and greatest value of each bin. */
export function rawPoints(curve: TrialCurve): CurvePoint[] {
  // A bin's samples stand at their instants, the first at its beginning: its middle lies half a sample before the half.
  const middleS = (curve.binWidthS - 1 / curve.sampleRateHz) / 2;
  return Array.from(curve.minNm, (low, bin): CurvePoint[] => {
    const x = curve.binStartS + middleS + bin * curve.binWidthS;
    const high = curve.maxNm[bin] ?? Number.NaN;
    return low === high || Number.isNaN(low)
      ? [{ x, y: low }]
      : [
          { x, y: low },
          { x, y: high },
        ];
  }).flat();
}

/** Keeps the least and greatest value of each stretch in their order, and a gap as a NaN. */
function thinOut(timeS: Float64Array, values: Float64Array): CurvePoint[] {
  const stretch = Math.max(1, Math.ceil((2 * values.length) / MOST_POINTS));
  const points: CurvePoint[] = [];
  const take = (index: number): void => {
    points.push({ x: timeS[index] ?? Number.NaN, y: values[index] ?? Number.NaN });
  };
  for (let start = 0; start < values.length; start += stretch) {
    const end = Math.min(start + stretch, values.length);
    let least = start;
    let greatest = start;
    let gap = -1;
    for (let index = start; index < end; index += 1) {
      const value = values[index] ?? Number.NaN;
      if (Number.isNaN(value)) gap = index;
      if (value < (values[least] ?? Number.NaN)) least = index;
      if (value > (values[greatest] ?? Number.NaN)) greatest = index;
    }
    const kept = new Set(gap >= 0 ? [gap] : [least, greatest]);
    [...kept].sort((a, b) => a - b).forEach(take);
  }
  return points;
}
