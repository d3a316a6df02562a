import { AppError } from '../app-error.ts';
import type { Direction } from '../trial/step-model.ts';
import { createHungWeights, type HungWeightsOptions } from './hung-weights.ts';
import type { Blow } from './impact-curve.ts';
import { createPushCurve } from './push-curve.ts';
import { createSeededRandom } from './seeded-random.ts';
import { createSenderClock, type SenderClockOptions } from './sender-clock.ts';
import {
  isSimulatedToolName,
  simulatedTools,
  type SimulatedTool,
  type SimulatedToolName,
} from './simulated-tool.ts';
import { simulatedCalibration, simulatedTransducer } from './simulated-transducer.ts';
import type { TorqueCurve } from './torque-curve.ts';
import { createWorkCurve } from './work-curve.ts';

/** How much of the stream a misbehaviour takes: a time or a number of samples. */
export type MisbehaviourExtent = { readonly durationS: number } | { readonly count: number };

/**
 * What an amplifier or its cable can do wrong.
 *
 * `gap` and `silence`: lines are lost on the way while the amplifier goes on sampling (the program tells a short loss
 * from a long one). `garbage`: bytes of noise in place of lines. `badChecksum`: a digit altered on the way, which only
 * a checksum can show. `rail`: the converter stands at its end. `stuck`: the same count again and again. `duplicate`:
 * each line is sent twice. `beyondRails`: the count just above the upper rail, which no converter can give. `flag`: a
 * bit of the status flags is set. `reset`: the amplifier begins its sequence and its time at 0 again. `backwards`: the
 * sequence steps back by so many numbers, once. `clockJump`: the device time jumps, once; it may jump back.
 */
export type Misbehaviour =
  | ({
      readonly kind:
        'gap' | 'silence' | 'garbage' | 'badChecksum' | 'rail' | 'stuck' | 'duplicate' | 'beyondRails';
    } & MisbehaviourExtent)
  | ({ readonly kind: 'flag'; readonly bit: number } & MisbehaviourExtent)
  | { readonly kind: 'reset' | 'unplug' }
  | { readonly kind: 'backwards'; readonly by: number }
  | { readonly kind: 'clockJump'; readonly byMs: number };

/** Plain data: it crosses to the reader process by structured clone. What is left out has its default. */
export interface SimulatedBenchOptions {
  /** A whole number of 32 bits; the same seed and the same calls give the same counts. */
  readonly seed: number;
  readonly sampleRateHz: number;
  /** Scales the gain, so that a transducer of less capacity reaches the rails sooner. */
  readonly capacityNm?: number;
  readonly converterBits?: number;
  /** The tool of pulls that do not bring their own. */
  readonly tool?: SimulatedToolName | SimulatedTool;
  readonly rigUnloading?: 'holds' | 'releases';
  /** -1: the transducer sits on a reaction arm, so that a clockwise push reads negative. */
  readonly senseSign?: 1 | -1;
  /** Standard deviation of the white noise. */
  readonly noiseCounts?: number;
  readonly zeroDriftNmPerMinute?: number;
  /** Relative standard deviation of a run's ceiling around the tool's. */
  readonly runScatter?: number;
  /** How weights on the calibration arm behave; left out: at once and exactly, but for a short swing. */
  readonly weights?: HungWeightsOptions;
  /** How far the reading at capacity lies above the straight line, as a share of it; grows as the square of the torque. */
  readonly nonlinearityShare?: number;
  /** Left out: each seed has its own. */
  readonly zeroCounts?: number;
  readonly misbehaviours?: readonly { readonly atS: number; readonly what: Misbehaviour }[];
  /** How the amplifier's clock errs; left out: not at all. */
  readonly clock?: SenderClockOptions;
  /** `mixed`: every other line ends differently, `\n` beside `\r\n` or `\r` beside `\r\n`. */
  readonly lineEndings?: 'asInProfile' | 'mixed';
}

/**
 * What a pull is against; left out: a joint that is tightened.
 *
 * `breakaway`: a fastener that is tightened as the wait begins and loosened by the tool, if it is strong enough. `stall`: a
 * driver that is held; its clutch lets go at the setting, null: it has none. `endurance`: a brake, until the charge is used
 * up after `chargeS` and `fadeShare` of the torque is gone.
 */
export type SimulatedWork =
  | { readonly kind: 'breakaway'; readonly preloadNm: number }
  | { readonly kind: 'stall'; readonly clutchNm: number | null }
  | { readonly kind: 'endurance'; readonly chargeS: number; readonly fadeShare: number };

export interface SimulatedPull {
  /** Left out: the tool of the bench. */
  readonly tool?: SimulatedToolName | SimulatedTool;
  readonly direction: Direction;
  /** How long the trigger is held. */
  readonly triggerS: number;
  /** How long the simulated operator waits before he pulls. */
  readonly delayS: number;
  readonly work?: SimulatedWork;
}

/** Torque that acted on the simulated transducer, without noise, drift or rounding; clockwise is positive. */
export interface SimulatedLoad {
  /** Seconds since the first sample of the bench. */
  readonly startS: number;
  readonly endS: number;
  torqueNm(atS: number): number;
  meanTorqueNm(fromS: number, toS: number): number;
  /** Means over the sample periods from `startS` to `endS`, as a converter without fault would give at this rate. */
  curveNm(sampleRateHz: number): Float64Array;
}

export interface SimulatedPullTruth extends SimulatedLoad {
  readonly tool: SimulatedTool;
  readonly direction: Direction;
  readonly triggerEndS: number;
  /** Positive; what this run would reach with blows of full energy without end; of a stall, where the driver stands. */
  readonly ceilingNm: number;
  /** Times on the bench's clock; torque in the joint positive, of a breakaway what is stored. None in a stall. */
  readonly blows: readonly Blow[];
  /** When the preload of a breakaway was gone, on the bench's clock; null: it was not, or there was none. */
  readonly releasedAtS: number | null;
  /** When the tool stopped by itself, clutch or charge, on the bench's clock; null: it did not. */
  readonly stoppedAtS: number | null;
}

export interface SimulatedBenchTruth {
  readonly zeroCounts: number;
  readonly forwardGainNmPerCount: number;
  readonly reverseGainNmPerCount: number;
  readonly senseSign: 1 | -1;
  readonly noiseCounts: number;
  readonly zeroDriftNmPerMinute: number;
  readonly nonlinearityShare: number;
  readonly lowRailCounts: number;
  readonly highRailCounts: number;
}

export interface SimulatedBench {
  readonly truth: SimulatedBenchTruth;
  readonly sampleRateHz: number;
  /** Samples handed out so far. */
  readonly sampleCount: number;
  /** Where the next sample begins, on the bench's clock, which is the world's and not the amplifier's. */
  readonly elapsedS: number;
  /** Until when, on the bench's clock, the loads asked for so far last. */
  readonly busyUntilS: number;
  /** A load that is asked for while another one lasts comes after it. */
  pull(pull: SimulatedPull): SimulatedPullTruth;
  push(torqueNm: number, durationS: number): SimulatedLoad;
  /** Weights on the arm from now on until others are hung; 0 takes them off. They add to pulls and pushes. */
  hang(torqueNm: number): void;
  nextCounts(sampleCount: number): Int32Array;
}

/** Streams of chance; each pull has one of its own from FIRST_PULL_STREAM on. */
const NOISE_STREAM = 0;
const ZERO_STREAM = 1;
const FIRST_PULL_STREAM = 16;
/** An hour of endurance, and the operator's overrun. */
const LONGEST_TRIGGER_S = 3700;

const defaults = {
  capacityNm: simulatedTransducer.capacityNm,
  converterBits: 24,
  tool: 'Hollin H5',
  rigUnloading: simulatedTransducer.rigUnloading,
  senseSign: 1,
  noiseCounts: 59,
  zeroDriftNmPerMinute: 0.02,
  runScatter: 0.015,
  nonlinearityShare: 0,
} as const;

function requireWithin(value: number, low: number, high: number, what: string): void {
  if (value >= low && value <= high) return;
  throw new AppError('input-out-of-range', `${what} must lie between ${low} and ${high}; ${value} does not.`);
}

function requireUsable(
  options: Required<
    Omit<SimulatedBenchOptions, 'misbehaviours' | 'clock' | 'lineEndings' | 'weights' | 'zeroCounts'>
  >,
): void {
  if (!Number.isInteger(options.seed)) {
    throw new AppError('input-out-of-range', `A seed must be a whole number; ${options.seed} is not.`);
  }
  requireWithin(options.seed, -(2 ** 31), 2 ** 32 - 1, 'A seed');
  requireWithin(options.sampleRateHz, 1, 1e6, 'The sample rate in Hz');
  requireWithin(options.capacityNm, 1e-3, 1e6, 'The capacity in N·m');
  requireWithin(options.converterBits, 8, 32, 'The number of converter bits');
  requireWithin(options.noiseCounts, 0, 1e9, 'The noise in counts');
  requireWithin(options.zeroDriftNmPerMinute, -1e6, 1e6, 'The zero drift in N·m per minute');
  requireWithin(options.runScatter, 0, 0.5, 'The scatter between runs');
  requireWithin(options.nonlinearityShare, -0.2, 0.2, 'The share of the reading that is not straight');
  requireTool(options.tool);
}

function requireTool(chosen: SimulatedToolName | SimulatedTool): SimulatedTool {
  if (typeof chosen === 'string') {
    if (isSimulatedToolName(chosen)) return simulatedTools[chosen];
    throw new AppError('input-out-of-range', `The simulated bench has no tool named ${String(chosen)}.`);
  }
  requireWithin(chosen.blowEnergyJ, 0.01, 1e4, 'The energy of a blow in J');
  requireWithin(chosen.blowRateHz, 1, 1000, 'The blow rate in Hz');
  requireWithin(chosen.driveStiffnessNmPerRad, 300, 1e7, 'The stiffness of the drive train in N·m/rad');
  requireWithin(chosen.spinUpS, 0.001, 10, 'The time to spin up in s');
  requireWithin(chosen.sagShare, 0, 1, 'The share of energy lost to sagging');
  requireWithin(chosen.sagS, 0.001, 1000, 'The time of the sagging in s');
  requireWithin(chosen.reverseEnergyRatio, 0.01, 100, 'The energy in reverse over that in forward');
  return chosen;
}

function requirePull({ triggerS, delayS, work }: SimulatedPull): void {
  requireWithin(triggerS, 0.05, LONGEST_TRIGGER_S, 'The time the trigger is held, in s,');
  requireWithin(delayS, 0, 600, 'The delay before a pull in s');
  switch (work?.kind) {
    case 'breakaway':
      requireWithin(work.preloadNm, 0.1, 1e6, 'A preload in N·m');
      requireWithin(delayS, 1, 600, 'The time to tighten before a breakaway in s');
      return;
    case 'stall':
      requireWithin(work.clutchNm ?? 1, 0.01, 1e6, 'The setting of a clutch in N·m');
      return;
    case 'endurance':
      requireWithin(work.chargeS, 0.1, 1e5, 'How long a charge lasts in s');
      requireWithin(work.fadeShare, 0, 1, 'The share of torque lost over a charge');
      return;
    default:
  }
}

/**
 * A bench whose truth is known: a tool, a joint, a rig and a transducer with its converter.
 *
 * A sample is the mean torque over its period, plus zero, drift and white noise, rounded to a whole count; the
 * converter stands at its rail where that lies beyond it. The chunking of `nextCounts` does not matter.
 * Errors: AppError 'input-out-of-range' for an option or a load that makes no sense.
 */
export function createSimulatedBench(givenOptions: SimulatedBenchOptions): SimulatedBench {
  const options = { ...defaults, ...givenOptions };
  requireUsable(options);
  const { seed, sampleRateHz } = options;
  const clock = createSenderClock(sampleRateHz, options.clock);
  const gainScale = options.capacityNm / simulatedTransducer.capacityNm;
  const noise = createSeededRandom(seed, NOISE_STREAM);
  const truth: SimulatedBenchTruth = {
    zeroCounts:
      options.zeroCounts ?? Math.round((2 * createSeededRandom(seed, ZERO_STREAM).uniform() - 1) * 40_000),
    forwardGainNmPerCount: simulatedCalibration.forward.gainNmPerCount * gainScale,
    reverseGainNmPerCount: simulatedCalibration.reverse.gainNmPerCount * gainScale,
    senseSign: options.senseSign,
    noiseCounts: options.noiseCounts,
    zeroDriftNmPerMinute: options.zeroDriftNmPerMinute,
    nonlinearityShare: options.nonlinearityShare,
    lowRailCounts: -(2 ** (options.converterBits - 1)),
    highRailCounts: 2 ** (options.converterBits - 1) - 1,
  };
  const driftCountsPerS = truth.zeroDriftNmPerMinute / 60 / truth.forwardGainNmPerCount;

  let sampleCount = 0;
  let elapsedS = 0;
  let pullCount = 0;
  let busyUntilS = 0;
  const weights = createHungWeights(options.weights);
  let loads: { readonly startS: number; readonly endS: number; readonly curve: TorqueCurve }[] = [];

  function addLoad(curve: TorqueCurve, delayS: number, sign: 1 | -1): SimulatedLoad {
    const startS = Math.max(elapsedS + delayS, busyUntilS);
    const endS = startS + curve.endS;
    const signed: TorqueCurve = {
      endS: curve.endS,
      torqueNm: (atS) => sign * curve.torqueNm(atS),
      impulseNmS: (atS) => sign * curve.impulseNmS(atS),
    };
    const meanTorqueNm = (fromS: number, toS: number) =>
      (signed.impulseNmS(toS - startS) - signed.impulseNmS(fromS - startS)) / (toS - fromS);
    busyUntilS = endS;
    loads.push({ startS, endS, curve: signed });
    return {
      startS,
      endS,
      torqueNm: (atS) => signed.torqueNm(atS - startS),
      meanTorqueNm,
      curveNm: (rateHz) =>
        Float64Array.from({ length: Math.ceil(curve.endS * rateHz) }, (_, index) =>
          meanTorqueNm(startS + index / rateHz, startS + (index + 1) / rateHz),
        ),
    };
  }

  function meanLoadNm(fromS: number, toS: number): number {
    while (loads[0] !== undefined && loads[0].endS <= fromS) loads = loads.slice(1);
    let impulseNmS = weights.impulseNmS(fromS, toS);
    for (const { startS, curve } of loads) {
      if (startS >= toS) break;
      impulseNmS += curve.impulseNmS(toS - startS) - curve.impulseNmS(fromS - startS);
    }
    return impulseNmS / (toS - fromS);
  }

  function nextCount(): number {
    const fromS = elapsedS;
    sampleCount += 1;
    elapsedS = clock.sampledAtS(sampleCount);
    const loadNm = truth.senseSign * meanLoadNm(fromS, elapsedS);
    const torqueNm = loadNm * (1 + (truth.nonlinearityShare * Math.abs(loadNm)) / options.capacityNm);
    const gain = torqueNm < 0 ? truth.reverseGainNmPerCount : truth.forwardGainNmPerCount;
    const counts =
      truth.zeroCounts + driftCountsPerS * fromS + torqueNm / gain + truth.noiseCounts * noise.gaussian();
    return Math.min(Math.max(Math.round(counts), truth.lowRailCounts), truth.highRailCounts);
  }

  return {
    truth,
    sampleRateHz,
    get sampleCount() {
      return sampleCount;
    },
    get elapsedS() {
      return elapsedS;
    },
    get busyUntilS() {
      return busyUntilS;
    },
    pull(pull) {
      requirePull(pull);
      const tool = requireTool(pull.tool ?? options.tool);
      const isReverse = pull.direction === 'reverse';
      const work = createWorkCurve(pull, {
        tool,
        isReverse,
        triggerS: pull.triggerS,
        rigUnloading: options.rigUnloading,
        runScatter: options.runScatter,
        random: createSeededRandom(seed, FIRST_PULL_STREAM + pullCount),
      });
      pullCount += 1;
      const load = addLoad(work.curve, pull.delayS - work.beforeS, isReverse ? -1 : 1);
      const onBench = (atS: number | null): number | null => (atS === null ? null : load.startS + atS);
      return {
        ...load,
        tool,
        direction: pull.direction,
        triggerEndS: load.startS + work.beforeS + pull.triggerS,
        ceilingNm: work.ceilingNm,
        blows: work.blows.map(({ atS, jointNm }) => ({ atS: load.startS + atS, jointNm })),
        releasedAtS: onBench(work.releasedAtS),
        stoppedAtS: onBench(work.stoppedAtS),
      };
    },
    push(torqueNm, durationS) {
      requireWithin(torqueNm, -1e6, 1e6, 'The torque of a push in N·m');
      requireWithin(durationS, 0.05, 600, 'The time of a push in s');
      return addLoad(createPushCurve(torqueNm, durationS), 0, 1);
    },
    hang(torqueNm) {
      requireWithin(torqueNm, -1e6, 1e6, 'The torque of hung weights in N·m');
      weights.hang(torqueNm, elapsedS);
    },
    nextCounts(wantedCount) {
      const counts = new Int32Array(wantedCount);
      for (let index = 0; index < wantedCount; index += 1) counts[index] = nextCount();
      return counts;
    },
  };
}
