import type { BenchTerms } from './run-model.ts';
import type { BudgetTerm } from './result-model.ts';
import type { GainScatter } from './gain-scatter.ts';
import type { ScatterAlongTorque } from './scatter-along-torque.ts';

/** What one sense's readings say about how well they repeat; counts are of deflection. */
export interface SenseScatter {
  /** Of single readings beside the gain of their series; null where there is none to tell. */
  readonly repeat: { readonly along: ScatterAlongTorque; readonly isFromFit: boolean } | null;
  /** Of the gain as a whole. */
  readonly gain: GainScatter | null;
  /** One count, or half the fluctuation of the readings where that is larger. */
  readonly resolutionCounts: number;
  /** Zero after unloading minus the zero before: the largest, and the mean of the fitted series. */
  readonly greatestZeroShiftCounts: number;
  readonly meanZeroShiftCounts: number;
  /** Changes under the top load, as a share of its deflection; 0 where not measured. */
  readonly creepShare: number;
  readonly bendingShare: number;
}

/** One step of the fitted curve. */
export interface FittedStep {
  readonly torqueNm: number;
  readonly fittedCounts: number;
  /** N m per count there. */
  readonly nmPerCount: number;
  /** Variance of the fitted counts over that of a single reading. */
  readonly leverage: number;
  /** By how much the curve misses the step. */
  readonly interpolation:
    | { /** Largest |mean - fitted| of the step and its neighbours. */ readonly limitCounts: number }
    | {
        /** What the distances have beyond the scatter, over all steps. */
        readonly standardCounts: number;
        readonly degreesOfFreedom: number;
      };
  readonly reversibilityPercent: number | null;
}

const ROOT_3 = Math.sqrt(3);

/**
 * The terms of one step that differ from reading to reading or from day to day, in N m.
 *
 * Repeats average the scatter of readings down through the fit, and that of the gain by their number; at the bench one more
 * reading in one more mounting comes on top. Where the curve misses the steps by more than they scatter, or nothing tells,
 * the interpolation error is rectangular, not triangular: it is the same in every use of the curve, and 2 u of a triangle
 * would not cover it. Where it does not, only what the distances have beyond the scatter counts, which is in the
 * repeatability already. Reversibility and zero return count at the bench, where torque also falls and a zero is old; the
 * falling branch lies to one side of the curve, so all of its distance is the limit. List of the terms: EURAMET cg-14 and
 * DIN 51309, from memory; distributions ours where said.
 */
export function independentTerms(
  step: FittedStep,
  scatter: SenseScatter,
  bench: BenchTerms,
  capacityNm: number | null,
): BudgetTerm[] {
  const counts = (
    source: string,
    value: number,
    rest: Pick<BudgetTerm, 'time' | 'evaluation' | 'distribution' | 'divisor'> & {
      degreesOfFreedom?: number;
      estimate?: string;
    },
  ): BudgetTerm => term(source, value, 'counts', step.nmPerCount, rest);
  const relative = (
    source: string,
    percent: number,
    rest: Pick<BudgetTerm, 'time' | 'evaluation' | 'distribution' | 'divisor'> & {
      degreesOfFreedom?: number;
      estimate?: string;
    },
  ): BudgetTerm => term(source, percent, '%', step.torqueNm / 100, rest);
  const typeA = { evaluation: 'A', distribution: 't', divisor: 1 } as const;
  const limit = { evaluation: 'B', distribution: 'rectangular', divisor: ROOT_3 } as const;
  const { repeat, gain } = scatter;

  const terms: BudgetTerm[] = [];
  if (repeat !== null) {
    const { standardDeviationCounts: s, degreesOfFreedom } = repeat.along.at(step.torqueNm);
    const of = { ...typeA, degreesOfFreedom, estimate: 'repeat' };
    const source = repeat.isFromFit ? 'Scatter about the curve' : 'Repeatability';
    terms.push(
      counts(`${source}, in the curve`, s * Math.sqrt(step.leverage), { ...of, time: 'calibration' }),
      counts(`${source}, of one reading`, s, { ...of, time: 'bench' }),
    );
  }
  if (gain !== null) {
    const of = { ...typeA, degreesOfFreedom: gain.degreesOfFreedom, estimate: 'gain' };
    const percent = 100 * gain.relative;
    const [inCurve, atBench] =
      gain.between === 'mountings'
        ? ['Mounting, in the curve', 'Mounting, of the bench']
        : ['Gain of the series, in the curve', 'Gain of the series, of one reading'];
    terms.push(
      relative(inCurve, percent * Math.sqrt(gain.shareInCurve), { ...of, time: 'calibration' }),
      relative(atBench, percent, { ...of, time: 'bench' }),
    );
  }
  const half = scatter.resolutionCounts / 2;
  terms.push(
    counts('Resolution of the zero', half, { ...limit, time: 'calibration' }),
    counts('Resolution of the reading', half, { ...limit, time: 'calibration' }),
    'limitCounts' in step.interpolation
      ? counts('Interpolation', step.interpolation.limitCounts, { ...limit, time: 'calibration' })
      : counts('Interpolation', step.interpolation.standardCounts, {
          ...typeA,
          degreesOfFreedom: step.interpolation.degreesOfFreedom,
          time: 'calibration',
        }),
    counts('Drift of the zero in the series', scatter.meanZeroShiftCounts, { ...limit, time: 'calibration' }),
    counts('Zero return', scatter.greatestZeroShiftCounts, { ...limit, time: 'bench' }),
  );
  if (scatter.bendingShare > 0) {
    const change = Math.abs(step.fittedCounts) * scatter.bendingShare;
    terms.push(counts('Sideways load', change / 2, { ...limit, time: 'calibration' }));
  }
  if (scatter.creepShare > 0) {
    const change = Math.abs(step.fittedCounts) * scatter.creepShare;
    terms.push(counts('Creep', change, { ...limit, time: 'bench' }));
  }
  if (step.reversibilityPercent !== null) {
    terms.push(relative('Reversibility', step.reversibilityPercent, { ...limit, time: 'bench' }));
  }
  return [...terms, ...benchTerms(step, bench, capacityNm, limit)];
}

function benchTerms(
  { torqueNm }: FittedStep,
  bench: BenchTerms,
  capacityNm: number | null,
  limit: Pick<BudgetTerm, 'evaluation' | 'distribution' | 'divisor'>,
): BudgetTerm[] {
  const { temperatureSpanK, spanPercentPerK, zeroPercentOfCapacityPerK, driftPercent } = bench;
  const terms: BudgetTerm[] = [];
  const add = (source: string, percent: number, ofNm: number): void => {
    terms.push(term(source, percent, '%', ofNm / 100, { ...limit, time: 'bench' }));
  };
  if (temperatureSpanK !== null && spanPercentPerK !== null) {
    add('Temperature, span', temperatureSpanK * spanPercentPerK, torqueNm);
  }
  if (temperatureSpanK !== null && zeroPercentOfCapacityPerK !== null && capacityNm !== null) {
    add('Temperature, zero', temperatureSpanK * zeroPercentOfCapacityPerK, capacityNm);
  }
  if (driftPercent !== null) add('Drift since calibration', driftPercent, torqueNm);
  return terms;
}

/** What the run was not told, in words; the budget at the bench leaves it out. */
export function unknownBenchTerms(bench: BenchTerms, capacityNm: number | null): string[] {
  const { temperatureSpanK, spanPercentPerK, zeroPercentOfCapacityPerK, driftPercent } = bench;
  return [
    ...(temperatureSpanK === null || spanPercentPerK === null ? ['temperature of the span'] : []),
    ...(temperatureSpanK === null || zeroPercentOfCapacityPerK === null || capacityNm === null
      ? ['temperature of the zero']
      : []),
    ...(driftPercent === null ? ['drift since the calibration'] : []),
  ];
}

function term(
  source: string,
  value: number,
  unit: string,
  sensitivity: number,
  rest: Pick<BudgetTerm, 'time' | 'evaluation' | 'distribution' | 'divisor'> & {
    degreesOfFreedom?: number;
    estimate?: string;
  },
): BudgetTerm {
  const { degreesOfFreedom = null, ...others } = rest;
  const magnitude = Math.abs(sensitivity);
  return {
    source,
    kind: 'independent',
    ...others,
    value,
    unit,
    sensitivity: magnitude,
    standardUncertaintyNm: (magnitude * value) / others.divisor,
    degreesOfFreedom,
  };
}
