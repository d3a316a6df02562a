import { z } from 'zod';
import { amplifierProfileSchema } from '../amplifier/amplifier-profile.ts';
import { placeInSheetSchema } from '../run-sheet/run-sheet-model.ts';
import { preparationSchema, setupAsTestedSchema } from '../run-sheet/setup-model.ts';
import { assignmentSchema } from './assignment.ts';
import { stepSchema } from './step-model.ts';
import { suspicionSchema } from './suspicion.ts';
import { annotationSchema, evaluationSchema, relabellingSchema } from './trial-trail.ts';

/** The shapes of a trial as it is stored and shown. How it moves: reduce-trial.ts. What it measures: evaluate-trial.ts. */
export const rigUnloadingSchema = z.literal(['holds', 'releases']);

export const transducerSchema = z.strictObject({
  id: z.string(),
  name: z.string().min(1).max(80),
  isSimulated: z.boolean(),
  capacityNm: z.number().positive().max(1e6).nullable(),
  rigLimitNm: z.number().positive().max(1e6).nullable(),
  rigUnloading: rigUnloadingSchema,
  /** What holds the transducer, as its owner counts it: trials on different ones are not alike. Empty: never changed. */
  rigRevision: z.string().trim().max(40).default(''),
  /** 1, or -1 where a clockwise push reads negative through the calibration (a reaction arm does that). */
  senseSign: z.literal([1, -1]),
  senseConfirmedAt: z.string().nullable(),
  activeCalibrationId: z.string().nullable(),
});
export type Transducer = z.infer<typeof transducerSchema>;

const refusalSchema = z.strictObject({ refused: z.string() });

/** A measure either has a value, with what is known of its uncertainty in this run, or says why the curve cannot carry it. */
export const measureSchema = z.union([
  z.strictObject({
    value: z.number(),
    standardError: z.number().min(0).optional(),
    /** 95 %. */
    interval: z.strictObject({ low: z.number(), high: z.number() }).optional(),
  }),
  refusalSchema,
]);
export type Measure = z.infer<typeof measureSchema>;

/** T(t) = torqueNm (1 - exp(-t / timeConstantS)), t from onset. */
export const riseModelSchema = z.union([
  z.strictObject({
    torqueNm: z.number(),
    timeConstantS: z.number(),
    /** Of the fit; it decides whether the model holds and is no uncertainty of the tool. */
    torqueStandardErrorNm: z.number(),
  }),
  refusalSchema,
]);
export type RiseModel = z.infer<typeof riseModelSchema>;

/** Kind breakaway: the torque that stood before onset, and when it was gone; null: it was not. */
export const breakawaySchema = z.union([
  z.strictObject({ preloadNm: z.number(), releasedAtS: z.number().nullable() }),
  refusalSchema,
]);
export type Breakaway = z.infer<typeof breakawaySchema>;

/** Kind endurance: what becomes of the torque over the run. */
export const enduranceSchema = z.union([
  z.strictObject({
    /** Sustained torque of the first and of the last tenth of the time in which the tool pulled. */
    firstNm: z.number(),
    lastNm: z.number(),
    fadePercent: z.number(),
    /** Theil-Sen slope in percent of the first per minute. */
    fadePercentPerMin: z.number(),
    /** When it fell under 80 % of the first for good; null: it did not. */
    under80PercentS: z.number().nullable(),
    pulledS: z.number(),
  }),
  refusalSchema,
]);
export type Endurance = z.infer<typeof enduranceSchema>;

const notUnderFirstDefinition = { refused: 'Not measured under definition version 1.' };

export const qualityReasonSchema = z.strictObject({
  code: z.string(),
  severity: z.literal(['look', 'notUsable']),
  sentence: z.string(),
});
export const qualitySchema = z.strictObject({
  verdict: z.literal(['good', 'look', 'notUsable']),
  reasons: z.array(qualityReasonSchema),
});
export type QualityReason = z.infer<typeof qualityReasonSchema>;
export type Quality = z.infer<typeof qualitySchema>;

export const trialFiguresSchema = z.strictObject({
  definitionVersion: z.int(),
  calibrationId: z.string(),
  sampleRateHz: z.number(),
  windowS: z.number(),
  onsetLevelNm: z.number(),
  /** From the first slot of the record. */
  onsetS: z.number().nullable(),
  sustainedTorqueNm: measureSchema,
  finalTorqueNm: measureSchema,
  torqueAt: z.array(z.strictObject({ atS: z.number(), torqueNm: measureSchema })),
  /** `timeS` null: the level was not reached and held. */
  timeToLevel: z.array(z.strictObject({ levelNm: z.number(), timeS: z.number().nullable() })),
  timeTo90PercentS: measureSchema,
  highestReadingNm: measureSchema,
  /** In % of the sustained torque per second; under 1 it has levelled off, since `levelledOffSinceS` from onset. */
  stillClimbingPercentPerS: measureSchema.default(notUnderFirstDefinition),
  levelledOffSinceS: z.number().nullable().default(null),
  impulseNms: measureSchema.default(notUnderFirstDefinition),
  riseNmPerS: measureSchema.default(notUnderFirstDefinition),
  riseModel: riseModelSchema.default(notUnderFirstDefinition),
  blowRateHz: measureSchema.default(notUnderFirstDefinition),
  /** Each only for trials of its kind, else null. */
  stallTorqueNm: measureSchema.nullable().default(null),
  breakaway: breakawaySchema.nullable().default(null),
  endurance: enduranceSchema.nullable().default(null),
  /** How long the tool pulled within the planned time, from onset; null without onset, or under definition version 1. */
  triggerS: z.number().nullable().default(null),
  quality: qualitySchema,
});
export type TrialFigures = z.infer<typeof trialFiguresSchema>;

export const faultKindSchema = z.literal([
  'badLine',
  'badChecksum',
  'sequenceGap',
  'rail',
  'stuck',
  'silence',
  'overload',
  'disconnect',
  'rateOffNominal',
  'segmentBreak',
  'readerLost',
  'silenceEnded',
  'duplicateLine',
  'beyondRails',
  'deviceFlag',
  'computerSlept',
  'queueOverflow',
]);
export type FaultKind = z.infer<typeof faultKindSchema>;

/** `atS` counts from the record's first slot in a stored trial, and is null for what is not tied to a trial. */
export const faultEventSchema = z.strictObject({
  kind: faultKindSchema,
  at: z.string(),
  atS: z.number().nullable(),
  count: z.int().min(0),
  sentence: z.string(),
});
export type FaultEvent = z.infer<typeof faultEventSchema>;

export const interruptionReasonSchema = z.literal([
  'operator',
  'overload',
  'disconnect',
  'wrongDirection',
  'segmentBreak',
  'readerLost',
  'storageFailed',
  'programEnded',
]);
export type InterruptionReason = z.infer<typeof interruptionReasonSchema>;

export const trialStateSchema = z.literal(['recording', 'reviewing', 'kept', 'interrupted']);

/** Of a torque that ended before the planned time. Only a person knows: `tool` stopped by itself, `hot`: its thermal cut-out. */
export const stopCauseSchema = z.literal(['released', 'tool', 'hot']);
export type StopCause = z.infer<typeof stopCauseSchema>;

/** Append-only: what was decided about a trial, by whom, why, and whether the figures had been shown by then. */
export const trialDecisionSchema = z.strictObject({
  decision: z.literal(['kept', 'voided', 'restored', 'interrupted']),
  reason: z.string(),
  figuresShown: z.boolean(),
  /** Where the torque ended early, what the operator says ended it; null or left out: not asked, or not said. */
  stopCause: stopCauseSchema.nullable().optional(),
  operator: z.string(),
  at: z.string(),
});
export type TrialDecision = z.infer<typeof trialDecisionSchema>;

export const trialSummarySchema = z.strictObject({
  id: z.string(),
  sessionId: z.string(),
  startedAt: z.string(),
  step: stepSchema,
  state: trialStateSchema,
  isVoided: z.boolean(),
  isSimulated: z.boolean(),
  qualityVerdict: z.literal(['good', 'look', 'notUsable']).nullable(),
  /** Null until the trial is kept (blind keep), and where the curve does not carry it. */
  sustainedTorqueNm: z.number().nullable(),
  /** Set where a daily check failed after it and before the next pass. */
  suspicion: suspicionSchema.nullable().default(null),
  /** Tool and setup as they are known now: put right where they had been named wrongly. */
  setup: setupAsTestedSchema.nullable().default(null),
  place: placeInSheetSchema.nullable().default(null),
  hasNote: z.boolean().default(false),
  tags: z.array(z.string()).default([]),
  /** The other bench it was pulled on; left out: this one. */
  benchName: z.string().optional(),
});
export type TrialSummary = z.infer<typeof trialSummarySchema>;

/** The bench as it was, fixed when the trial begins. */
export const trialConditionsSchema = z.strictObject({
  transducer: transducerSchema,
  calibrationId: z.string(),
  /** The kept amplifier and its name as it was then; null: none, or before they were kept. */
  amplifierId: z.string().nullable().default(null),
  amplifierName: z.string().nullable().default(null),
  profile: amplifierProfileSchema,
  clockSource: z.literal(['sequence', 'deviceTime', 'arrival']),
  zeroCounts: z.number(),
  noiseNm: z.number(),
  onsetLevelNm: z.number(),
  softwareVersion: z.string(),
  definitionVersion: z.int(),
  /** As it was named then; null: a trial outside of a run sheet. */
  setup: setupAsTestedSchema.nullable().default(null),
  place: placeInSheetSchema.nullable().default(null),
  preparation: preparationSchema.nullable().default(null),
  /** Since the end of the pull before with the same setup in this session, and what the plan wants; null: there was none. */
  restedS: z.number().nullable().default(null),
  plannedRestS: z.number().nullable().default(null),
});
export type TrialConditions = z.infer<typeof trialConditionsSchema>;

export const trialRecordSchema = z.strictObject({
  summary: trialSummarySchema,
  conditions: trialConditionsSchema,
  /** Position of onset in slots from the record's first slot; found live, confirmed by the evaluation. */
  onsetSlot: z.number(),
  slotCount: z.int(),
  lostSlots: z.int(),
  sampleRateHz: z.number().nullable(),
  /** What the fit of slots against arrival times leaves, root mean square, and the standard error of its rate. */
  rateResidualUs: z.number().nullable(),
  rateStandardErrorHz: z.number().nullable(),
  zeroAfterCounts: z.number().nullable(),
  interruption: interruptionReasonSchema.nullable(),
  figures: trialFiguresSchema.nullable(),
  /** What is to be decided by while the figures are hidden; only in state `reviewing`, else null. */
  undecidedQuality: qualitySchema.nullable().default(null),
  faults: z.array(faultEventSchema),
  decisions: z.array(trialDecisionSchema),
  /** Oldest first; the figures are those of the newest. `conditions` keep the calibration it was made with. */
  assignments: z.array(assignmentSchema).default([]),
  /** Oldest first; the newest counts. */
  annotations: z.array(annotationSchema).default([]),
  relabellings: z.array(relabellingSchema).default([]),
  /** All that was ever computed, oldest first, once the trial has been kept; empty before. */
  evaluations: z.array(evaluationSchema).default([]),
});
export type TrialRecord = z.infer<typeof trialRecordSchema>;
