import { z } from 'zod';
import { directionSchema, kindSchema, plannedTimeSchema } from '../trial/step-model.ts';

/** What of a trial is compared and scored. The highest reading is not among them: it depends on rate, filter and rig. */
export const trialMeasureSchema = z.discriminatedUnion('figure', [
  z.strictObject({ figure: z.literal('sustainedTorque') }),
  z.strictObject({ figure: z.literal('finalTorque') }),
  /** At one of the instants at which it is measured. */
  z.strictObject({ figure: z.literal('torqueAt'), atS: z.literal([1, 2, 3, 5, 10, 15]) }),
  z.strictObject({ figure: z.literal('timeTo90Percent') }),
  z.strictObject({ figure: z.literal('timeToLevel'), levelNm: z.number().positive().max(1e6) }),
  z.strictObject({ figure: z.literal('stallTorque') }),
  /** Of a breakaway: the preload, where it was released. */
  z.strictObject({ figure: z.literal('releasedPreload') }),
  /** Of an endurance run: torque in its last tenth. */
  z.strictObject({ figure: z.literal('lastTorque') }),
]);
export type TrialMeasure = z.infer<typeof trialMeasureSchema>;

/** A step without its tool: trials of one are compared with each other. */
export const comparedStepSchema = z.strictObject({
  kind: kindSchema,
  direction: directionSchema,
  plannedS: plannedTimeSchema,
});
export type ComparedStep = z.infer<typeof comparedStepSchema>;

/** Setup, or the name of a tool where trials were pulled without one: `setup:ID` or `name:FOLDED NAME`. */
export const contenderKeySchema = z.string().min(6).max(200);
