import { z } from 'zod';
import { setupAsTestedSchema } from '../run-sheet/setup-model.ts';

/** What became of a trial after it was stored; rows that only grow. */
export const tagSchema = z.string().trim().min(1).max(40);

/** Note and tags of a trial, as they stand and as they stood. */
export const annotationSchema = z.strictObject({
  note: z.string(),
  tags: z.array(tagSchema),
  operator: z.string(),
  at: z.string(),
});
export type Annotation = z.infer<typeof annotationSchema>;

/** Tool and setup put right on a stored trial. */
export const relabellingSchema = z.strictObject({
  toolName: z.string(),
  setup: setupAsTestedSchema.nullable(),
  reason: z.string(),
  operator: z.string(),
  at: z.string(),
});
export type Relabelling = z.infer<typeof relabellingSchema>;

/** Figures as they were computed once; an older definition or calibration explains what was shown before. */
export const evaluationSchema = z.strictObject({
  definitionVersion: z.int(),
  calibrationId: z.string(),
  at: z.string(),
  sustainedTorqueNm: z.number().nullable(),
  finalTorqueNm: z.number().nullable(),
  verdict: z.literal(['good', 'look', 'notUsable']),
});
export type Evaluation = z.infer<typeof evaluationSchema>;
