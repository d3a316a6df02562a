import { z } from 'zod';
import { directionSchema, kindSchema, plannedTimeSchema, preloadSchema } from '../trial/step-model.ts';
import { askSchema } from './setup-model.ts';

/** A pull of the plan and how often it is repeated without changing the setup. */
export const planStepSchema = z.strictObject({
  kind: kindSchema,
  direction: directionSchema,
  plannedS: plannedTimeSchema,
  /** Breakaway only: what the fastener is tightened to before; null elsewhere. */
  preloadNm: preloadSchema.nullable(),
  repeats: z.int().min(1).max(20),
  /** Between the end of a pull and the next one with the same setup. */
  restS: z.number().min(0).max(3600),
});
export type PlanStep = z.infer<typeof planStepSchema>;

/** How often the reference tool is pulled by the plan's first step, so that a drift of the day shows. */
export const referencePullsSchema = z.strictObject({
  atStart: z.int().min(0).max(10),
  perRound: z.int().min(0).max(5),
  atEnd: z.int().min(0).max(10),
});
export type ReferencePulls = z.infer<typeof referencePullsSchema>;

export const planSchema = z.strictObject({
  id: z.string().min(1).max(64),
  name: z.string().trim().min(1).max(80),
  steps: z.array(planStepSchema).min(1).max(12),
  /** Uncounted pulls by the first step, before a setup's first counted one; they are declared wherever it is published. */
  conditioningPulls: z.int().min(0).max(5),
  rounds: z.int().min(1).max(30),
  /** As many rounds as a published result takes. */
  roundsToPublish: z.int().min(1).max(30),
  /** Null: no reference tool. */
  reference: referencePullsSchema.nullable(),
  asks: z.array(askSchema).max(6),
});
export type Plan = z.infer<typeof planSchema>;
