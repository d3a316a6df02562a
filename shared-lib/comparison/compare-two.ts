import type { Distributions } from '../calibration/distributions.ts';
import { cautionsOfTwo } from './cautions.ts';
import { compareCheckpoints, ratioOf } from './checkpoints.ts';
import type { ComparedTrial, Comparison, DayToDay } from './comparison-model.ts';
import { dayToDaySentence, type KnownDayToDay } from './day-to-day.ts';
import { hedgesG } from './effect-size.ts';
import { estimateDifference, type EstimatedDifference } from './estimate-difference.ts';
import { observe, ownTrials, type Observation } from './observations.ts';
import { permutationP } from './permutation.ts';
import { roundsToDecide } from './rounds-to-decide.ts';
import { doScalesCancel } from './scale-difference.ts';
import { noScatter } from './scatter.ts';
import { meanOf, standardDeviationOf } from './sums.ts';
import type { SideFigures, TwoInput, TwoResult } from './two-model.ts';
import { judge, type Limits } from './verdict.ts';
import { sentenceOfTwo } from './verdict-sentence.ts';
import { intervalOf, type Difference } from './welch.ts';

export type { TwoInput, TwoResult } from './two-model.ts';

/**
 * Two contenders by one measure: how much A differs from B, how surely, and what may be said of it.
 *
 * On ln(measure): a ratio with its interval. Trials without a value above zero are counted and not compared. The scatter:
 * estimateScatter; the verdict: judge.
 */
export function compareTwo(input: TwoInput, distributions: Distributions): TwoResult {
  const { a, b, better, confidence, dayToDay, plannedRounds, scales } = input;
  const trials = ownTrials(input.trials);
  const estimate = estimateDifference(observe(trials), a, b, dayToDay, distributions, scales);
  const test = estimate?.test ?? null;
  const interval = test === null ? null : intervalOf(test, confidence, distributions);
  const levelInterval = test === null ? null : intervalOf(test, 2 * confidence - 1, distributions);
  const margin = Math.log1p(input.marginPercent / 100);
  const verdict = judge({
    interval: turned(interval, better),
    levelInterval: turned(levelInterval, better),
    margin,
    isPartUnknown: estimate !== null && (estimate.isDayToDayUnknown || estimate.scale.isUnknown),
  });
  const sides = { a: sideOf(a, true, trials, estimate), b: sideOf(b, false, trials, estimate) };
  const isProvisional =
    (plannedRounds.a !== null && sides.a.doneRounds < plannedRounds.a) ||
    (plannedRounds.b !== null && sides.b.doneRounds < plannedRounds.b);
  const usedOf = (key: string): number[] => lnOf(estimate, key);
  const isAcrossSessions = (estimate?.dayShare ?? 0) > 0;
  const cancels = estimate === null || doScalesCancel(estimate.scale);
  const seen = { input, trials, estimate, verdict, sides, isProvisional };
  return {
    ...sides,
    verdict,
    isProvisional,
    sentence: sentenceOfTwo({ ...seen, interval, levelInterval }),
    cautions: cautionsOfTwo(seen),
    isAcrossSessions,
    confidence,
    ratio: test === null || interval === null ? null : ratioOf(test.difference, interval),
    levelInterval: test === null || levelInterval === null ? null : ratioOf(test.difference, levelInterval),
    difference: differenceOf(estimate, test, interval),
    standardErrorLn: test?.standardError ?? null,
    // Infinite only where nothing scatters, and then there is no test.
    degreesOfFreedom: test?.degreesOfFreedom ?? null,
    scatter: estimate?.scatter ?? noScatter(),
    dayToDay: isAcrossSessions ? dayToDayInWords(dayToDay) : null,
    effectSize: hedgesG(usedOf(a), usedOf(b)),
    // Days, and calibrations, would be dealt out with the runs.
    permutationP: isAcrossSessions || !cancels ? null : permutationP(usedOf(a), usedOf(b)),
    roundsToDecide: roundsToDecide({ input, estimate, margin, sides }, distributions),
    ...compareCheckpoints({ ...input, trials }, distributions),
  };
}

function turned(interval: Limits | null, better: 'more' | 'less'): Limits | null {
  if (interval === null || better === 'more') return interval;
  return { low: -interval.high, high: -interval.low };
}

function lnOf(estimate: EstimatedDifference | null, wanted: string): number[] {
  return (estimate?.used ?? []).filter(({ key }) => key === wanted).map(({ ln }) => ln);
}

function sideOf(
  key: string,
  isA: boolean,
  trials: readonly ComparedTrial[],
  estimate: EstimatedDifference | null,
): SideFigures {
  const own = trials.filter(({ contenderKey }) => contenderKey === key);
  const observed: readonly Observation[] = observe(own);
  const ln = estimate === null ? observed.map((observation) => observation.ln) : lnOf(estimate, key);
  const scatter = standardDeviationOf(ln);
  const mean = estimate === null ? meanOf(ln) : isA ? estimate.meanA : estimate.meanB;
  return {
    count: ln.length,
    noValueCount: own.length - observed.length,
    mean: ln.length === 0 ? null : Math.exp(mean),
    scatter: Number.isNaN(scatter) ? null : scatter,
    sessionCount: new Set(own.map(({ sessionId }) => sessionId)).size,
    doneRounds: new Set(
      own.flatMap(({ sessionId, round }) =>
        round === null || round === 0 ? [] : [JSON.stringify([sessionId, round])],
      ),
    ).size,
  };
}

/** In the unit of the measure: the interval of the ratio, held against the mean of both. */
function differenceOf(
  estimate: EstimatedDifference | null,
  test: Difference | null,
  interval: Limits | null,
): Comparison['difference'] {
  if (estimate === null || test === null || interval === null) return null;
  const middle = (estimate.meanA + estimate.meanB) / 2;
  const at = (difference: number): number => 2 * Math.exp(middle) * Math.sinh(difference / 2);
  return { value: at(test.difference), low: at(interval.low), high: at(interval.high) };
}

function dayToDayInWords(known: KnownDayToDay | null): DayToDay {
  if (known === null) {
    return {
      standardDeviation: null,
      degreesOfFreedom: null,
      sentence:
        'How much a setup moves from day to day is not known: pull a reference tool, or the same setup, on at least three days.',
    };
  }
  return { ...known, sentence: dayToDaySentence(known) };
}
