import { createTorqueConverter } from './apply-calibration.ts';
import type { CalibrationSense } from './calibration-model.ts';
import type { CalibrationResult, SenseResult } from './result-model.ts';

/**
 * Expanded uncertainty (95 %) in N m at any torque of a sense, its sign left aside.
 *
 * Between two steps straight in N m; under the lowest step that of the lowest step, since what does not shrink with the
 * torque (zero, resolution) is then all there is; beyond the highest in proportion, where the reading is marked as outside
 * the range anyway.
 */
export function expandedUncertaintyNm(
  { steps }: Pick<SenseResult, 'steps'>,
  torqueNm: number,
  time: 'calibration' | 'bench',
): number {
  return uncertaintyBetween(steps, torqueNm, ({ atBench, atCalibration }) =>
    time === 'bench' ? atBench.expandedNm : atCalibration.expandedNm,
  );
}

/**
 * Standard uncertainty in N m at any torque of a sense at the bench, likewise, with the fewer degrees of freedom of the steps
 * beside it; null: infinitely many.
 */
export function standardUncertaintyAtBench(
  { steps }: Pick<SenseResult, 'steps'>,
  torqueNm: number,
): { readonly standardNm: number; readonly degreesOfFreedom: number | null } {
  const wanted = Math.abs(torqueNm);
  const inOrder = steps.toSorted((one, other) => Math.abs(one.torqueNm) - Math.abs(other.torqueNm));
  const above = inOrder.findIndex((step) => Math.abs(step.torqueNm) >= wanted);
  const beside = above === -1 ? inOrder.slice(-1) : inOrder.slice(Math.max(0, above - 1), above + 1);
  const degrees = beside.flatMap(({ atBench }) => atBench.effectiveDegreesOfFreedom ?? []);
  return {
    standardNm: uncertaintyBetween(steps, torqueNm, ({ atBench }) => atBench.standardNm),
    degreesOfFreedom: degrees.length === 0 ? null : Math.min(...degrees),
  };
}

function uncertaintyBetween(
  steps: SenseResult['steps'],
  torqueNm: number,
  uncertaintyOf: (step: SenseResult['steps'][number]) => number,
): number {
  const known = steps
    .map((step) => ({ torqueNm: Math.abs(step.torqueNm), uncertaintyNm: uncertaintyOf(step) }))
    .sort((one, other) => one.torqueNm - other.torqueNm);
  const wanted = Math.abs(torqueNm);
  const [lowest, highest] = [known[0], known.at(-1)];
  if (lowest === undefined || highest === undefined) throw new RangeError('A result has at least one step');
  if (wanted <= lowest.torqueNm) return lowest.uncertaintyNm;
  if (wanted >= highest.torqueNm) return (highest.uncertaintyNm * wanted) / highest.torqueNm;
  const above = known.findIndex((step) => step.torqueNm >= wanted);
  const [from, to] = [known[above - 1] ?? lowest, known[above] ?? highest];
  const share = (wanted - from.torqueNm) / (to.torqueNm - from.torqueNm);
  return from.uncertaintyNm + share * (to.uncertaintyNm - from.uncertaintyNm);
}

/** Relative expanded uncertainty at bench time and the highest step of each sense, the worse of them; null: no run stands behind it. */
export function topUncertaintyPercent(result: CalibrationResult | null): number | null {
  const found = (result?.senses ?? []).flatMap(({ steps }) => {
    const top = steps.at(-1);
    return top === undefined ? [] : [top.atBench.relativeExpandedPercent];
  });
  return found.length === 0 ? null : Math.max(...found);
}

/** How readings become torque by this result. */
export function senseFromResult({
  steps,
  degree,
  hasConstant,
  coefficients,
  validToNm,
}: SenseResult): CalibrationSense {
  const top = steps.at(-1);
  if (top === undefined) throw new RangeError('A result has at least one step');
  const gainNmPerCount = top.torqueNm / top.fittedCounts;
  if (degree === 1 && !hasConstant)
    return { gainNmPerCount: 1 / (coefficients[0] ?? Number.NaN), validToNm, curve: null };
  return {
    gainNmPerCount,
    validToNm,
    curve: {
      constantCounts: hasConstant ? (coefficients[0] ?? 0) : 0,
      coefficients: hasConstant ? coefficients.slice(1) : [...coefficients],
    },
  };
}

export interface ReadDeflection {
  /** Signed as the sense is. */
  readonly torqueNm: number;
  /** 95 %, of one reading. */
  readonly expandedNm: number;
  readonly isOutsideRange: boolean;
}

/** What a deflection in counts stands for by this result, with its interval. */
export function readDeflection(
  result: SenseResult,
  deflectionCounts: number,
  time: 'calibration' | 'bench',
): ReadDeflection {
  const sense = senseFromResult(result);
  const isForward = result.sense === 'forward';
  const converter = createTorqueConverter({
    calibration: { forward: isForward ? sense : null, reverse: isForward ? null : sense },
    zeroCounts: 0,
    senseSign: 1,
  });
  const torqueNm = converter.toTorqueNm(deflectionCounts);
  return {
    torqueNm,
    expandedNm: expandedUncertaintyNm(result, torqueNm, time),
    isOutsideRange: converter.isOutsideRange(torqueNm),
  };
}
