import { z } from 'zod';
import { stepSchema } from '../trial/step-model.ts';

/** Which of the kept trials statistics take in; stored with every result that rests on it. */
export const qualityGateSchema = z.literal(['goodOnly', 'goodAndLook', 'allKept']);
export type QualityGate = z.infer<typeof qualityGateSchema>;

/** What is around the bench; null: not noted. */
export const sessionConditionsSchema = z.strictObject({
  rigNote: z.string().trim().max(500),
  ambientC: z.number().min(-40).max(60).nullable(),
  relativeHumidityPercent: z.number().min(0).max(100).nullable(),
  airPressureHpa: z.number().min(500).max(1100).nullable(),
});
export type SessionConditions = z.infer<typeof sessionConditionsSchema>;

/** A slope over the session with its 95 % interval, and whether it is told from chance: a 98 % interval leaves out zero. */
export const driftSchema = z.strictObject({
  perHour: z.number(),
  lowPerHour: z.number(),
  highPerHour: z.number(),
  pointCount: z.int(),
  isFlagged: z.boolean(),
  sentence: z.string(),
});
export type Drift = z.infer<typeof driftSchema>;

export const toolExposureSchema = z.strictObject({
  toolName: z.string(),
  triggerS: z.number(),
  pullCount: z.int(),
  vibrationMps2: z.number().nullable(),
  noiseDbA: z.number().nullable(),
  /** 2 a^2 t, t in hours; null without a declared vibration. */
  points: z.number().nullable(),
});
export type ToolExposure = z.infer<typeof toolExposureSchema>;

/** Directive 2002/44/EC: A(8) of 2.5 m/s2 (100 points) is the action value, 5 m/s2 (400 points) the limit value. */
export const exposureSchema = z.strictObject({
  triggerS: z.number(),
  tools: z.array(toolExposureSchema),
  /** Sum of the known ones, and how much of the trigger time they cover. */
  points: z.number(),
  a8Mps2: z.number(),
  knownTriggerS: z.number(),
  /** Of the tools with a declared level, over 8 h; null where there is none. */
  noiseLex8hDbA: z.number().nullable(),
  state: z.literal(['below', 'actionReached', 'limitReached']),
  sentences: z.array(z.string()),
});
export type Exposure = z.infer<typeof exposureSchema>;

/** The trials of one setup and step in one session. */
export const setupFiguresSchema = z.strictObject({
  label: z.string(),
  setupId: z.string().nullable(),
  step: stepSchema,
  /** Those that the gate lets in, and the kept ones that it leaves out. */
  count: z.int(),
  leftOutCount: z.int(),
  conditioningCount: z.int(),
  voidedCount: z.int(),
  meanNm: z.number().nullable(),
  standardDeviationNm: z.number().nullable(),
  /** 95 % of the mean, by Student's t; null for fewer than two. */
  lowNm: z.number().nullable(),
  highNm: z.number().nullable(),
  /** All in one unbroken row: repeats that are not independent. */
  isOneBlock: z.boolean(),
});
export type SetupFigures = z.infer<typeof setupFiguresSchema>;

export const sessionSummarySchema = z.strictObject({
  id: z.string(),
  startedAt: z.string(),
  endedAt: z.string().nullable(),
  operator: z.string(),
  transducerName: z.string(),
  isSimulated: z.boolean(),
  trialCount: z.int(),
  keptCount: z.int(),
  voidedCount: z.int(),
  interruptedCount: z.int(),
});
export type SessionSummary = z.infer<typeof sessionSummarySchema>;

export const sessionReportSchema = z.strictObject({
  summary: sessionSummarySchema,
  conditions: sessionConditionsSchema,
  safetyConfirmedAt: z.string().nullable(),
  qualityGate: qualityGateSchema,
  setups: z.array(setupFiguresSchema),
  /** Voided trials are published with their reasons, and with whether their figures had been seen. */
  voided: z.array(
    z.strictObject({
      trialId: z.string(),
      label: z.string(),
      reason: z.string(),
      figuresShown: z.boolean(),
      at: z.string(),
    }),
  ),
  skipped: z.array(z.strictObject({ label: z.string(), reason: z.string() })),
  /** In N·m per hour; null with too few trials. */
  zeroDrift: driftSchema.nullable(),
  /** Of the reference tool's sustained torque, in percent per hour; null without one. */
  referenceDrift: driftSchema.nullable(),
  exposure: exposureSchema,
});
export type SessionReport = z.infer<typeof sessionReportSchema>;
