import type { Direction } from '../trial/trial-model.ts';
import type { SimulatedTool, SimulatedToolName } from './simulated-tool.ts';

/** How much of the stream a misbehaviour takes: a time or a number of samples. */
export type MisbehaviourExtent = { readonly durationS: number } | { readonly count: number };

/**
 * What an amplifier or its cable can do wrong.
 *
 * `gap` and `silence`: lines are lost on the way while the amplifier goes on sampling (the program tells a short loss
 * from a long one). `garbage`: bytes of noise in place of lines. `badChecksum`: a digit altered on the way, which only
 * a checksum can show. `rail`: the converter stands at its end. `stuck`: the same count again and again.
 */
export type Misbehaviour =
  | ({
      readonly kind: 'gap' | 'silence' | 'garbage' | 'badChecksum' | 'rail' | 'stuck';
    } & MisbehaviourExtent)
  | { readonly kind: 'unplug' };

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
  readonly misbehaviours?: readonly { readonly atS: number; readonly what: Misbehaviour }[];
}

export interface SimulatedPull {
  /** Left out: the tool of the bench. */
  readonly tool?: SimulatedToolName | SimulatedTool;
  readonly direction: Direction;
  /** How long the trigger is held. */
  readonly triggerS: number;
  /** How long the simulated operator waits before he pulls. */
  readonly delayS: number;
}
