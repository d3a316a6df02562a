import { z } from 'zod';

/** Why a trial is suspect, and what the operator made of it. */
export const suspicionSchema = z.strictObject({
  checkId: z.int(),
  failedAt: z.string(),
  /** Null: not decided; `usable`: stands as it is; `excluded`: left out wherever trials are used. */
  decision: z.literal(['usable', 'excluded']).nullable(),
  reason: z.string().nullable(),
});
export type Suspicion = z.infer<typeof suspicionSchema>;
