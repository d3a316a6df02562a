import { z } from 'zod';
import { checkStateSchema } from './calibration/daily-check-model.ts';
import { sheetOnBenchSchema } from './run-sheet/run-sheet-model.ts';
import { directionSchema, stepSchema } from './trial/step-model.ts';
import {
  faultEventSchema,
  interruptionReasonSchema,
  qualitySchema,
  transducerSchema,
  trialFiguresSchema,
} from './trial/trial-model.ts';
import { float32ArraySchema } from './typed-array-schemas.ts';

/** What the bench is at this moment, whole: a window that missed any number of these is right again with the next. */
export const amplifierStatusSchema = z.strictObject({
  source: z.literal(['none', 'serial', 'simulated', 'replayed']),
  link: z.literal(['disconnected', 'connecting', 'connected', 'silent', 'reconnecting', 'failed']),
  /** Null where it is not a kept one. */
  amplifierId: z.string().nullable(),
  amplifierName: z.string().nullable(),
  portPath: z.string().nullable(),
  /** The capture that is played. */
  replayedFile: z.string().nullable(),
  profileName: z.string().nullable(),
  nominalRateHz: z.number().nullable(),
  measuredRateHz: z.number().nullable(),
  /** What the fit of the measured rate leaves, root mean square; null until there is a fit. */
  rateResidualUs: z.number().nullable(),
  clockSource: z.literal(['sequence', 'deviceTime', 'arrival']).nullable(),
  counters: z.strictObject({
    samples: z.int(),
    badLines: z.int(),
    badChecksums: z.int(),
    lostSamples: z.int(),
    rails: z.int(),
    duplicateLines: z.int(),
    beyondRails: z.int(),
  }),
  /** The newest text of the line that could not be read, for finding the right profile. */
  lastBadLine: z.string().nullable(),
  /** The capture that is being written. */
  capture: z.strictObject({ fileName: z.string(), bytes: z.int(), startedAt: z.string() }).nullable(),
  /** Why the last capture ended unasked; the readings are none the worse for it. */
  captureProblem: z.strictObject({ code: z.string(), sentence: z.string() }).nullable(),
  /** What is wrong and what to do, or null. */
  problem: z.strictObject({ code: z.string(), sentence: z.string() }).nullable(),
});
export type AmplifierStatus = z.infer<typeof amplifierStatusSchema>;

/**
 * The trial as a window may show it. No figures before a trial is kept (blind keep).
 * `onsetSlot` is on the live curve's slot axis.
 */
export const trialViewSchema = z.discriminatedUnion('phase', [
  z.strictObject({ phase: z.literal('idle'), lastProblem: z.string().nullable() }),
  z.strictObject({ phase: z.literal('countdown'), step: stepSchema, secondsLeft: z.int() }),
  z.strictObject({ phase: z.literal('waiting'), step: stepSchema }),
  z.strictObject({ phase: z.literal('run'), step: stepSchema, trialId: z.string(), onsetSlot: z.number() }),
  z.strictObject({ phase: z.literal('tail'), step: stepSchema, trialId: z.string(), onsetSlot: z.number() }),
  z.strictObject({
    phase: z.literal('unloading'),
    step: stepSchema,
    trialId: z.string(),
    prompt: z.string(),
  }),
  z.strictObject({ phase: z.literal('saving'), step: stepSchema, trialId: z.string() }),
  z.strictObject({
    phase: z.literal('reviewing'),
    step: stepSchema,
    trialId: z.string(),
    quality: qualitySchema,
  }),
  z.strictObject({
    phase: z.literal('kept'),
    step: stepSchema,
    trialId: z.string(),
    isVoided: z.boolean(),
    figures: trialFiguresSchema,
  }),
  z.strictObject({
    phase: z.literal('interrupted'),
    step: stepSchema,
    trialId: z.string(),
    reason: interruptionReasonSchema,
    sentence: z.string(),
  }),
]);
export type TrialView = z.infer<typeof trialViewSchema>;

export const benchStatusSchema = z.strictObject({
  softwareVersion: z.string(),
  host: z.literal(['desktop', 'browser']),
  dataFolder: z.string(),
  amplifier: amplifierStatusSchema,
  transducer: transducerSchema.nullable(),
  calibration: z
    .strictObject({
      id: z.string(),
      label: z.string(),
      createdAt: z.string(),
      enteredUncertaintyPercent: z.number().nullable(),
      /** Relative expanded uncertainty at bench time and the highest step, the worse sense; null: not from a guided run. */
      foundUncertaintyPercent: z.number().nullable(),
      hasForward: z.boolean(),
      hasReverse: z.boolean(),
      /** The last day on which it holds, and how many trials it has left; null: no such limit. */
      validUntil: z.string().nullable(),
      trialsLeft: z.int().nullable(),
      isExpired: z.boolean(),
      check: checkStateSchema,
    })
    .nullable(),
  zero: z
    .strictObject({
      counts: z.number(),
      noiseNm: z.number().nullable(),
      spreadCounts: z.number(),
      takenAt: z.string(),
    })
    .nullable(),
  session: z
    .strictObject({
      id: z.string(),
      startedAt: z.string(),
      isSafetyConfirmed: z.boolean(),
      keptCount: z.int(),
      voidedCount: z.int(),
      /** How long tools have pulled, and the vibration points of it as far as they are known. */
      triggerS: z.number(),
      exposurePoints: z.number().nullable(),
    })
    .nullable(),
  storage: z.strictObject({
    state: z.literal(['ok', 'failing']),
    sentence: z.string().nullable(),
    freeBytes: z.number(),
    /** Recording time left on the disk at the present rate; null without a rate. */
    hoursLeft: z.number().nullable(),
  }),
  /** Why the next press of the primary control would not start a trial, in the order of what to do; empty: it would. */
  obstacles: z.array(
    z.strictObject({
      code: z.string(),
      sentence: z.string(),
      remedy: z.literal(['setup', 'calibrate', 'zero', 'safety', 'sense', 'setupInHand', 'none']),
    }),
  ),
  /** The next trial: the current entry of the run sheet, or what the Bench was set to. */
  step: stepSchema,
  /** Null: trials one by one. */
  runSheet: sheetOnBenchSchema.nullable(),
  trial: trialViewSchema,
  interruptedTrialIds: z.array(z.string()),
  recentFaults: z.array(faultEventSchema),
});
export type BenchStatus = z.infer<typeof benchStatusSchema>;
export type Obstacle = BenchStatus['obstacles'][number];

/**
 * The newest piece of the live curve, already reduced: the least and greatest value of each bin of `samplesPerBin` slots.
 *
 * Bin i covers slots (firstBin + i) * samplesPerBin and on; NaN: no sample in it. A bin is
 * sent once, when it is complete. A new `generation` (other zero, calibration, port or segment) starts an empty curve.
 */
export const liveCurveSchema = z.strictObject({
  generation: z.int(),
  quantity: z.literal(['torqueNm', 'counts']),
  sampleRateHz: z.number(),
  samplesPerBin: z.int().min(1),
  firstBin: z.int(),
  min: float32ArraySchema,
  max: float32ArraySchema,
  /** Mean of the newest 100 ms (at least one sample), for the big figure. */
  latestMean: z.number().nullable(),
  isOutsideCalibratedRange: z.boolean(),
  /** When the newest sample had been read, on the host's monotonic clock; left out where the curve is drawn anew from what is known. */
  readAtUs: z.number().optional(),
});
export type LiveCurve = z.infer<typeof liveCurveSchema>;

export const soundCueSchema = z.strictObject({
  cue: z.literal(['arm', 'count', 'go', 'stop', 'fault']),
  direction: directionSchema.nullable(),
});
export type SoundCue = z.infer<typeof soundCueSchema>;
