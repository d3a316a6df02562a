import { z } from 'zod';
import { amplifierProfileSchema } from '../amplifier/amplifier-profile.ts';
import { assignmentSchema } from './assignment.ts';
import { suspicionSchema } from './suspicion.ts';

/** The shapes of a trial as it is stored and shown. How it moves: reduce-trial.ts. What it measures: evaluate-trial.ts. */
export const directionSchema = z.literal(['forward', 'reverse']);
export type Direction = z.infer<typeof directionSchema>;

export const stepSchema = z.strictObject({
  toolName: z.string().trim().min(1).max(80),
  kind: z.literal('tighten'),
  direction: directionSchema,
  plannedS: z.number().min(0.5).max(120),
});
export type Step = z.infer<typeof stepSchema>;

export const rigUnloadingSchema = z.literal(['holds', 'releases']);

export const transducerSchema = z.strictObject({
  id: z.string(),
  name: z.string().min(1).max(80),
  isSimulated: z.boolean(),
  capacityNm: z.number().positive().max(1e6).nullable(),
  rigLimitNm: z.number().positive().max(1e6).nullable(),
  rigUnloading: rigUnloadingSchema,
  /** 1, or -1 where a clockwise push reads negative through the calibration (a reaction arm does that). */
  senseSign: z.literal([1, -1]),
  senseConfirmedAt: z.string().nullable(),
  activeCalibrationId: z.string().nullable(),
});
export type Transducer = z.infer<typeof transducerSchema>;

/** A measure either has a value or says why the curve cannot carry it. */
export const measureSchema = z.union([
  z.strictObject({ value: z.number() }),
  z.strictObject({ refused: z.string() }),
]);
export type Measure = z.infer<typeof measureSchema>;

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

/** Append-only: what was decided about a trial, by whom, why, and whether the figures had been shown by then. */
export const trialDecisionSchema = z.strictObject({
  decision: z.literal(['kept', 'voided', 'restored', 'interrupted']),
  reason: z.string(),
  figuresShown: z.boolean(),
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
  faults: z.array(faultEventSchema),
  decisions: z.array(trialDecisionSchema),
  /** Oldest first; the figures are those of the newest. `conditions` keep the calibration it was made with. */
  assignments: z.array(assignmentSchema).default([]),
});
export type TrialRecord = z.infer<typeof trialRecordSchema>;
