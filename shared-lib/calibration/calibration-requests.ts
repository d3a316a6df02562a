import { z } from 'zod';
import { benchStatusSchema } from '../bench-status.ts';
import { directionSchema } from '../trial/step-model.ts';
import { transducerSchema } from '../trial/trial-model.ts';
import { calibrationVersionSchema } from './calibration-model.ts';
import {
  checkLoadSchema,
  checkMeansSchema,
  checkStateSchema,
  controlChartSchema,
  dailyCheckSchema,
  openFailureSchema,
  ringingSchema,
} from './daily-check-model.ts';
import { calibrationResultSchema, fitOverrideSchema } from './result-model.ts';
import {
  calibrationRunSchema,
  plannedReadingSchema,
  runProgressSchema,
  runSetupSchema,
} from './run-model.ts';
import { daySchema, standardSchema, standardsSchema } from './standards-model.ts';

/** The part of the contract that has to do with calibrating; api-contract.ts takes it in. */
const empty = z.strictObject({});
const reason = z.string().trim().min(3, 'Say why, in at least three characters.').max(500);
const runId = z.strictObject({ runId: z.string().min(1).max(64) });
const calibrationId = z.string().min(1).max(64);
const index = z.int().min(0).max(2000);
const trialIds = z.array(z.string().min(1).max(64)).min(1).max(5000);
const overrides = z.array(fitOverrideSchema).max(2);

export const calibrationRequests = {
  listStandards: { params: empty, result: standardsSchema },
  /** A new one, or a change of the one with its id. Calibrations keep their copies. */
  saveStandard: { params: z.strictObject({ standard: standardSchema }), result: standardsSchema },
  removeStandard: {
    params: z.strictObject({ kind: z.literal(['weight', 'arm', 'site']), id: z.string().min(1).max(64) }),
    result: standardsSchema,
  },

  /** What a setup asks for and what speaks against it, before anything is hung. */
  previewRun: {
    params: z.strictObject({ setup: runSetupSchema }),
    result: z.strictObject({
      readings: z.array(plannedReadingSchema),
      levelsNm: z.array(z.number()),
      findings: calibrationResultSchema.shape.findings,
    }),
  },
  /**
   * Refused with 'invalid-state' while another run is open, with a `stop` finding of the preview, and where the lists have another form of
   * one of its standards by now.
   */
  startRun: { params: z.strictObject({ setup: runSetupSchema }), result: calibrationRunSchema },
  /** The run that is open on the active transducer. */
  getRun: { params: empty, result: z.strictObject({ run: calibrationRunSchema.nullable() }) },
  /** `index`: the reading that was shown. Nothing is changed where it was taken meanwhile; 'invalid-state' where another is asked for. */
  confirmHandling: { params: runId.extend({ index }), result: calibrationRunSchema },
  /** Takes the reading that is asked for now, steady or not; what is out of the ordinary stays with it as flags. `index` as above. */
  takeReading: { params: runId.extend({ index }), result: calibrationRunSchema },
  /** Asks for this reading again; the one taken before is kept as replaced. */
  redoReading: { params: runId.extend({ index }), result: calibrationRunSchema },
  pauseRun: { params: runId, result: calibrationRunSchema },
  resumeRun: { params: runId, result: calibrationRunSchema },
  discardRun: { params: runId.extend({ reason }), result: empty },
  /** The result as it would be accepted now. */
  evaluateRun: { params: runId.extend({ overrides }), result: calibrationResultSchema },
  acceptRun: {
    params: runId.extend({
      label: calibrationVersionSchema.shape.label,
      note: calibrationVersionSchema.shape.note,
      overrides,
      supersedeReason: reason.nullable(),
      /** The version in use as the window shows it; null: none; left out: whichever is. Refused with 'bench-moved-on' where it is another. */
      supersedesId: calibrationId.nullable().optional(),
      validUntil: daySchema.nullable(),
      validForTrials: z.int().min(1).max(100_000).nullable(),
    }),
    result: calibrationVersionSchema,
  },
  /** Simulated bench only: hangs there what the run asks for now, or the given level. */
  hangSimulatedWeights: { params: runId.extend({ level: index.nullable() }), result: empty },

  getCalibrationReport: {
    params: z.strictObject({ calibrationId }),
    result: z.strictObject({
      version: calibrationVersionSchema,
      run: calibrationRunSchema.nullable(),
      result: calibrationResultSchema.nullable(),
      checks: z.array(dailyCheckSchema),
      /** Trials that are read by it now, whatever they were made with. */
      trialCount: z.int(),
      /** Trials that were made with it, whatever they are read by: these count against how many it holds for. */
      madeWithCount: z.int(),
    }),
  },
  /** What another version would read, over the range that both cover, against their joint uncertainty. */
  compareCalibrations: {
    params: z.strictObject({ calibrationId, otherId: calibrationId }),
    result: z.strictObject({
      points: z.array(
        z.strictObject({
          sense: directionSchema,
          torqueNm: z.number(),
          differencePercent: z.number(),
          /** sqrt(U1^2 + U2^2) of the torque; null where a version states none. */
          jointUncertaintyPercent: z.number().nullable(),
        }),
      ),
      sentences: z.array(z.string()),
    }),
  },
  /** A stored decision: each trial gets a further evaluation with that calibration; the old one stays. */
  reassignTrials: {
    params: z.strictObject({ trialIds, calibrationId, reason }),
    result: z.strictObject({ changedCount: z.int() }),
  },

  /**
   * The transducer that calibrations and checks belong to now, connected or not, and the calibration in use on it; null: none.
   * The status tells of both only once something was connected or chosen.
   */
  getCalibrationInUse: {
    params: empty,
    result: z.strictObject({
      transducer: transducerSchema,
      calibration: benchStatusSchema.shape.calibration,
    }),
  },
  getDailyChecks: {
    params: empty,
    result: z.strictObject({
      state: checkStateSchema,
      /** Newest first, under the calibration in use. */
      checks: z.array(dailyCheckSchema),
      charts: z.array(controlChartSchema),
      /** Means of the last check, to be offered again. */
      usualMeans: checkMeansSchema.nullable(),
      /** Newest first, under earlier calibrations too: each trial is decided on under the failure that marks it. */
      failures: z.array(openFailureSchema),
    }),
  },
  /** What a check loads the bench with and what speaks against it, before anything is hung. */
  previewDailyCheck: { params: z.strictObject({ means: checkMeansSchema }), result: checkLoadSchema },
  /** Refused with 'invalid-state' with a `stop` finding of the preview, and with 'input-out-of-range' for a reference that is none. */
  recordDailyCheck: {
    params: z.strictObject({
      means: checkMeansSchema,
      zeroCounts: z.number(),
      readingCounts: z.number(),
      /** Of a shunt: this reading is what later ones are held to, and why; null: it is judged. */
      newReferenceReason: reason.nullable(),
    }),
    result: dailyCheckSchema,
  },
  /** Simulated bench only: hangs there what a check asks for, or switches its shunt on; null takes all off again. */
  loadSimulatedCheck: { params: z.strictObject({ means: checkMeansSchema.nullable() }), result: empty },
  /**
   * `checkId`: the failed check under whose mark the trials were shown; refused with 'invalid-state' where one of them is under that of
   * another by now.
   */
  decideSuspects: {
    params: z.strictObject({
      trialIds,
      checkId: z.int(),
      decision: z.literal(['usable', 'excluded']),
      reason,
    }),
    result: z.strictObject({ decidedCount: z.int() }),
  },

  /** Watches for one tap on the bar or a released weight, 15 s at most, and keeps what the rig answered. */
  recordRinging: { params: empty, result: ringingSchema },
  getRinging: { params: empty, result: z.strictObject({ ringing: ringingSchema.nullable() }) },
} as const satisfies Record<string, { params: z.ZodType; result: z.ZodType }>;

export const calibrationEvents = {
  standardsChanged: empty,
  /** A version was made and put to use. */
  calibrationsChanged: empty,
  /** Null: no run is open any more. */
  calibrationRunChanged: z.strictObject({ run: calibrationRunSchema.nullable() }),
  calibrationProgress: runProgressSchema,
} as const satisfies Record<string, z.ZodType>;
