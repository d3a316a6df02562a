import {
  createSimulatedBench,
  type SimulatedPullTruth,
} from '../../shared-lib/simulation/simulated-bench.ts';
import type { SimulatedToolName } from '../../shared-lib/simulation/simulated-tool.ts';
import { evaluateCurve } from '../../shared-lib/trial/evaluate-curve.ts';

/** One measure of one run beside the truth; null: refused, or not reached. */
export interface Compared {
  readonly measured: number | null;
  readonly truth: number | null;
}

export interface ComparedRun {
  readonly sustainedTorqueNm: Compared;
  readonly timeToLevelS: Compared;
  readonly blowRateHz: Compared;
}

export interface StudiedBench {
  readonly tool: SimulatedToolName;
  readonly sampleRateHz: number;
  readonly levelNm: number;
}

const PLANNED_S = 5;
const DELAY_S = 1;
const ONSET_LEVEL_NM = 20;
/** Time around the run: the trigger is held that much longer, and the record ends behind it. */
const HELD_ON_S = 0.3;
const TAIL_S = 0.8;
const MEAN_S = 0.1;
const SUSTAINED_HOLD_S = 0.25;
const CROSSING_HOLD_S = 0.1;
const BLOW_WINDOW_S = 2;
/** Of the truth's time axis. */
const STEP_S = 0.001;

/** A run on the simulated bench, measured as the program does from its noisy counts, and taken from the model itself. */
export function comparedRun({ tool, sampleRateHz, levelNm }: StudiedBench, seed: number): ComparedRun {
  const bench = createSimulatedBench({ seed, sampleRateHz, tool });
  const pull = bench.pull({ direction: 'forward', triggerS: PLANNED_S + HELD_ON_S, delayS: DELAY_S });
  const counts = bench.nextCounts(Math.round((DELAY_S + PLANNED_S + HELD_ON_S + TAIL_S) * sampleRateHz));
  const { zeroCounts, forwardGainNmPerCount } = bench.truth;
  const { figures } = evaluateCurve({
    rawNm: Float64Array.from(counts, (count) => (count - zeroCounts) * forwardGainNmPerCount),
    nominalRateHz: sampleRateHz,
    sampleRateHz,
    step: { toolName: tool, kind: 'tighten', direction: 'forward', plannedS: PLANNED_S },
    onsetLevelNm: ONSET_LEVEL_NM,
    levelsNm: [levelNm],
    antiAliasBandwidthHz: null,
  });
  const truth = trueFigures(pull, levelNm);
  const { sustainedTorqueNm, blowRateHz, timeToLevel } = figures;
  return {
    sustainedTorqueNm: {
      measured: 'value' in sustainedTorqueNm ? sustainedTorqueNm.value : null,
      truth: truth.sustainedNm,
    },
    timeToLevelS: { measured: timeToLevel[0]?.timeS ?? null, truth: truth.timeToLevelS },
    blowRateHz: { measured: 'value' in blowRateHz ? blowRateHz.value : null, truth: truth.blowRateHz },
  };
}

/**
 * The truth by the definitions of the measures, without samples, noise or filter of the program: the mean of the model's
 * torque over exactly 100 ms by its closed integral, every millisecond; and the blows as the model struck them.
 */
function trueFigures(
  pull: SimulatedPullTruth,
  levelNm: number,
): { sustainedNm: number; timeToLevelS: number | null; blowRateHz: number } {
  const startS = pull.startS - 2 * MEAN_S;
  const meanNm = Float64Array.from({ length: Math.ceil((PLANNED_S + 1) / STEP_S) }, (_, index) => {
    const atS = startS + index * STEP_S;
    return pull.meanTorqueNm(atS - MEAN_S / 2, atS + MEAN_S / 2);
  });
  const onset = firstHeld(meanNm, ONSET_LEVEL_NM);
  if (onset === null) throw new Error(`The simulated ${pull.tool.name} made no torque.`);
  const end = Math.floor(onset + PLANNED_S / STEP_S);
  const reached = firstHeld(meanNm, levelNm);
  const endS = startS + (onset * STEP_S + PLANNED_S);
  const last = pull.blows.filter(({ atS }) => atS > endS - BLOW_WINDOW_S && atS <= endS);
  const [first, final] = [last[0]?.atS ?? Number.NaN, last.at(-1)?.atS ?? Number.NaN];
  return {
    sustainedNm: greatestHeld(meanNm.subarray(Math.ceil(onset), end + 1)),
    timeToLevelS: reached === null || reached > end ? null : (reached - onset) * STEP_S,
    blowRateHz: (last.length - 1) / (final - first),
  };
}

/** In steps with fractions. */
function firstHeld(values: Float64Array, levelNm: number): number | null {
  const hold = Math.round(CROSSING_HOLD_S / STEP_S);
  let held = 0;
  for (let i = 0; i < values.length; i += 1) {
    held = (values[i] ?? 0) >= levelNm ? held + 1 : 0;
    if (held < hold) continue;
    const first = i - hold + 1;
    const [before, at] = [values[first - 1] ?? 0, values[first] ?? 0];
    return first === 0 ? 0 : first - 1 + (levelNm - before) / (at - before);
  }
  return null;
}

function greatestHeld(values: Float64Array): number {
  const hold = Math.round(SUSTAINED_HOLD_S / STEP_S);
  let greatest = Number.NEGATIVE_INFINITY;
  for (let from = 0; from + hold <= values.length; from += 1) {
    const least = values.subarray(from, from + hold).reduce((low, value) => (value < low ? value : low));
    greatest = Math.max(greatest, least);
  }
  return greatest;
}
