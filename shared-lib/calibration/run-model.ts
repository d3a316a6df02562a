import { z } from 'zod';
import { directionSchema } from '../trial/step-model.ts';
import { armSchema, siteSchema, weightSchema } from './standards-model.ts';

/**
 * A guided calibration run: what was chosen before it, the readings it asks for, and the readings that were taken. What
 * comes next follows from the plan and the readings alone (plan-run.ts), so that a run goes on after a crash.
 */
export const runWaySchema = z.literal(['weightsOnArm', 'loadCell', 'oneWeight']);
export type RunWay = z.infer<typeof runWaySchema>;

/**
 * `full`: three mountings, two increasing series in the first, one increasing and one decreasing in each further one.
 * `notRemountable`: increasing, increasing, decreasing. `quick`: one increasing and one decreasing. `twoArmLengths` goes
 * with `oneWeight`: load and unload three times, remount, then the same weight on the second arm.
 */
export const runSeriesSchema = z.literal(['full', 'notRemountable', 'quick', 'twoArmLengths']);
export type RunSeries = z.infer<typeof runSeriesSchema>;

/** What the bench will do to the calibration between today and a trial; null: not known, and said so. */
export const benchTermsSchema = z.strictObject({
  /** The bench lies within so many kelvin of the temperature of the calibration. */
  temperatureSpanK: z.number().min(0).max(60).nullable(),
  spanPercentPerK: z.number().min(0).max(1).nullable(),
  zeroPercentOfCapacityPerK: z.number().min(0).max(1).nullable(),
  /** Change of the sensitivity until the calibration ends, as a limit. */
  driftPercent: z.number().min(0).max(10).nullable(),
});
export type BenchTerms = z.infer<typeof benchTermsSchema>;

export const runSetupSchema = z.strictObject({
  way: runWaySchema,
  series: runSeriesSchema,
  /** In the order in which they are loaded. */
  senses: z.array(directionSchema).min(1).max(2),
  /** What hangs at each level, rising torque; copies of the standards as they were. */
  levels: z.array(z.array(weightSchema).min(1).max(20)).min(1).max(20),
  arm: armSchema,
  /** The second length of `twoArmLengths`, shorter than the first. */
  shortArm: armSchema.nullable(),
  site: siteSchema,
  /** Loads to the maximum before the first series of each sense and mounting. */
  exercises: z.int().min(0).max(5),
  dwellS: z.number().min(0.5).max(120),
  checks: z.strictObject({ creep: z.boolean(), bending: z.boolean(), warmUp: z.boolean() }),
  benchTerms: benchTermsSchema,
});
export type RunSetup = z.infer<typeof runSetupSchema>;

export const readingStageSchema = z.literal([
  'warmUp',
  'exercise',
  'zeroBefore',
  'increasing',
  'decreasing',
  'zeroAfter',
  'creep30',
  'creep300',
  'bending',
]);
export type ReadingStage = z.infer<typeof readingStageSchema>;

/** One reading the run asks for. `level` 0 is the bare arm; level n hangs `levels[n - 1]`. */
export const plannedReadingSchema = z.strictObject({
  index: z.int().min(0),
  sense: directionSchema,
  stage: readingStageSchema,
  /** From 1, for each sense; an arm taken off and put on again is another mounting. */
  mounting: z.int().min(1),
  /** From 1, for each sense: an increasing series and the decreasing one after it have their own numbers. */
  series: z.int().min(0),
  level: z.int().min(0),
  arm: z.literal(['arm', 'shortArm']),
  /** Torque of the level in N m, never negative; the sense has the sign. */
  torqueNm: z.number(),
  /** Something is done by hand first that no reading can show: mount, remount, change the sense. Waits for a press. */
  handling: z.string().nullable(),
});
export type PlannedReading = z.infer<typeof plannedReadingSchema>;

export const readingFlagSchema = z.strictObject({ code: z.string(), sentence: z.string() });
export type ReadingFlag = z.infer<typeof readingFlagSchema>;

/** A reading as taken. A redo adds another with the same index; the newest counts, all are kept. */
export const takenReadingSchema = z.strictObject({
  id: z.int(),
  index: z.int().min(0),
  meanCounts: z.number(),
  /** Of the means of tenths of the dwell. */
  standardDeviationCounts: z.number(),
  /** Greatest minus least of those means. */
  spreadCounts: z.number(),
  driftCountsPerS: z.number(),
  sampleCount: z.int().min(1),
  durationS: z.number(),
  takenAt: z.string(),
  by: z.literal(['steady', 'key']),
  /** What was out of the ordinary; it stays with the reading. */
  flags: z.array(readingFlagSchema),
});
export type TakenReading = z.infer<typeof takenReadingSchema>;

export const runStateSchema = z.literal(['running', 'paused', 'complete', 'accepted', 'discarded']);
export type RunState = z.infer<typeof runStateSchema>;

export const calibrationRunSchema = z.strictObject({
  id: z.string(),
  transducerId: z.string(),
  amplifierId: z.string().nullable(),
  /** The profile and the place on the bench it was begun with; going on with another amplifier is refused. */
  isSimulated: z.boolean(),
  setup: runSetupSchema,
  readings: z.array(plannedReadingSchema),
  /** The newest of each index, by index. */
  taken: z.array(takenReadingSchema),
  /** Those that a redo replaced, oldest first. */
  replaced: z.array(takenReadingSchema),
  state: runStateSchema,
  /** The reading that is asked for; null once complete. */
  nextIndex: z.int().nullable(),
  operator: z.string(),
  startedAt: z.string(),
});
export type CalibrationRun = z.infer<typeof calibrationRunSchema>;

/** How the reading that is asked for stands at this moment; some five a second. */
export const runProgressSchema = z.strictObject({
  runId: z.string(),
  index: z.int().nullable(),
  /**
   * `waitingForHands`: a handling has to be confirmed. `unchanged`: still the load of the reading before. `moving`,
   * `settling`: counting down the dwell. `steady`: about to be taken. `held`: steady, but something is wrong with it.
   */
  phase: z.literal(['noSignal', 'waitingForHands', 'unchanged', 'moving', 'settling', 'steady', 'held']),
  meanCounts: z.number().nullable(),
  spreadCounts: z.number().nullable(),
  driftCountsPerS: z.number().nullable(),
  heldS: z.number(),
  dwellS: z.number(),
  /** What the newest reading says about the load that hangs, such as a weight hung twice. */
  flags: z.array(readingFlagSchema),
});
export type RunProgress = z.infer<typeof runProgressSchema>;
