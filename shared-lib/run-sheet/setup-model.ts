import { z } from 'zod';

/** What is tested: a tool with its pack, its setting and what stands between its anvil and the transducer. */
const id = z.string().min(1).max(64);
const name = z.string().trim().min(1).max(80);

export const supplySchema = z.literal(['battery', 'mains', 'air', 'hand']);
export type Supply = z.infer<typeof supplySchema>;

export const toolSchema = z.strictObject({
  id,
  name,
  supply: supplySchema,
  /** As the maker declares it: total vibration value in m/s2, A-weighted sound pressure level at the ear in dB. */
  declaredVibrationMps2: z.number().positive().max(100).nullable(),
  declaredNoiseDbA: z.number().min(40).max(150).nullable(),
  isArchived: z.boolean(),
});
export type Tool = z.infer<typeof toolSchema>;

/** A battery; mains and air have none. */
export const packSchema = z.strictObject({
  id,
  name,
  nominalV: z.number().positive().max(1000).nullable(),
  capacityAh: z.number().positive().max(100).nullable(),
  isArchived: z.boolean(),
});
export type Pack = z.infer<typeof packSchema>;

/** Socket, adapter and extension together, as they turn with the anvil. */
export const socketSchema = z.strictObject({
  name,
  massKg: z.number().positive().max(100).nullable(),
  lengthM: z.number().positive().max(10).nullable(),
});
export type Socket = z.infer<typeof socketSchema>;

export const setupSchema = z.strictObject({
  id,
  toolId: id,
  packId: id.nullable(),
  /** Speed step, mode or clutch setting, as the tool names it; empty: it has none. */
  setting: z.string().trim().max(80),
  socket: socketSchema.nullable(),
  isArchived: z.boolean(),
});
export type Setup = z.infer<typeof setupSchema>;

/** A setup as it was: a copy that stays with the trial whatever becomes of tool and pack. */
export const setupAsTestedSchema = z.strictObject({
  setupId: id,
  toolId: id,
  toolName: name,
  supply: supplySchema,
  declaredVibrationMps2: toolSchema.shape.declaredVibrationMps2,
  declaredNoiseDbA: toolSchema.shape.declaredNoiseDbA,
  packId: id.nullable(),
  packName: name.nullable(),
  packCapacityAh: packSchema.shape.capacityAh,
  setting: setupSchema.shape.setting,
  socket: socketSchema.nullable(),
});
export type SetupAsTested = z.infer<typeof setupAsTestedSchema>;

export const askSchema = z.literal([
  'packVolts',
  'packTemperature',
  'toolTemperature',
  'fastener',
  'lubricant',
  'airPressure',
]);
export type Ask = z.infer<typeof askSchema>;

/** What was found when the setup was taken up; null: not asked for, or not known. */
export const preparationSchema = z.strictObject({
  packRestedV: z.number().positive().max(1000).nullable(),
  packTemperatureC: z.number().min(-50).max(150).nullable(),
  toolTemperatureC: z.number().min(-50).max(300).nullable(),
  fastener: z.string().trim().max(80).nullable(),
  /** Before this setup's next pull. */
  fastenerPullsSinceNew: z.int().min(0).max(1_000_000).nullable(),
  lubricant: z.string().trim().max(80).nullable(),
  /** At the inlet while the tool runs, above the air around. */
  inletPressureKpa: z.number().positive().max(3000).nullable(),
  hoseBoreMm: z.number().positive().max(100).nullable(),
  /** Taken over from before, unchanged: nobody has read it anew. */
  isCarriedOver: z.boolean(),
});
export type Preparation = z.infer<typeof preparationSchema>;
