import { z } from 'zod';

/** What one pull is: its kind, its direction and its time. */
export const directionSchema = z.literal(['forward', 'reverse']);
export type Direction = z.infer<typeof directionSchema>;

/**
 * `tighten`: torque builds from zero. `breakaway`: a stored preload is released. `stall`: a driver is held until it stands
 * or its clutch lets go. `endurance`: the torque fades over a charge.
 */
export const kindSchema = z.literal(['tighten', 'breakaway', 'stall', 'endurance']);
export type Kind = z.infer<typeof kindSchema>;

export const plannedTimeSchema = z.number().min(0.5).max(3600);
export const preloadSchema = z.number().positive().max(1e6);

export const stepSchema = z.strictObject({
  toolName: z.string().trim().min(1).max(80),
  kind: kindSchema,
  direction: directionSchema,
  plannedS: plannedTimeSchema,
  /** Breakaway only: what the fastener is tightened to before; left out elsewhere, or null where it is not known. */
  preloadNm: preloadSchema.nullable().optional(),
});
export type Step = z.infer<typeof stepSchema>;
