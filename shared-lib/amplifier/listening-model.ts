import { z } from 'zod';
import { amplifierProfileSchema } from './amplifier-profile.ts';

/**
 * What is heard on a port of which nothing is known: raw lines, and proposals of how to read them.
 *
 * A proposal is a whole profile that reads the lines heard so far, with the reasons for each guess.
 */
export const heardFieldSchema = z.strictObject({
  field: z.int().min(0).max(31),
  newest: z.string().max(120),
  /** Null where the newest texts are no numbers. */
  value: z.number().nullable(),
  /** Spread (greatest minus least) over the newest second, and over the listening before it: how it is seen to move. */
  spreadNow: z.number().nullable(),
  spreadBefore: z.number().nullable(),
  guess: z.literal(['counts', 'sequence', 'deviceTime', 'statusFlags', 'constant', 'text', 'unknown']),
  reason: z.string(),
});
export type HeardField = z.infer<typeof heardFieldSchema>;

export const profileProposalSchema = z.strictObject({
  profile: amplifierProfileSchema,
  reasons: z.array(z.string()),
  /** Share of the lines heard that this profile reads. */
  readableShare: z.number().min(0).max(1),
});
export type ProfileProposal = z.infer<typeof profileProposalSchema>;

export const baudRateTrialSchema = z.strictObject({
  baudRate: z.int(),
  /** Share of the bytes heard that are printable text or line ends; null: nothing was heard. */
  readableShare: z.number().min(0).max(1).nullable(),
  sentence: z.string(),
});
export type BaudRateTrial = z.infer<typeof baudRateTrialSchema>;

export const listeningSchema = z.strictObject({
  state: z.literal(['probing', 'listening', 'failed']),
  path: z.string(),
  /** The rate that is tried, or was found. */
  baudRate: z.int().nullable(),
  triedBaudRates: z.array(baudRateTrialSchema),
  /** The newest lines as they came, the newest last. */
  lines: z.array(z.string().max(200)).max(40),
  lineRateHz: z.number().nullable(),
  bytesHeard: z.int(),
  fields: z.array(heardFieldSchema),
  /** Best first. */
  proposals: z.array(profileProposalSchema).max(5),
  problem: z.strictObject({ code: z.string(), sentence: z.string() }).nullable(),
});
export type Listening = z.infer<typeof listeningSchema>;
