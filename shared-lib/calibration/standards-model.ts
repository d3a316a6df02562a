import { z } from 'zod';
import { gravityInputSchema } from './calibration-model.ts';

/**
 * What a calibration is traced to: weights, arms, and the place where they hang. Kept as lists and reused; a run takes
 * copies, so that a later change of a list changes no calibration.
 */
const id = z.string().min(1).max(64);
const name = z.string().trim().min(1).max(80);
/** A calendar day, such as 2026-03-31. */
export const daySchema = z.iso.date();

/** How well a value is known, in the unit of the value: a limit (rectangular), or U and k of a certificate. */
export const statedUncertaintySchema = z.discriminatedUnion('kind', [
  z.strictObject({ kind: z.literal('limit'), limit: z.number().min(0) }),
  z.strictObject({
    kind: z.literal('certificate'),
    expanded: z.number().positive(),
    coverageFactor: z.number().min(1).max(5),
  }),
]);
export type StatedUncertainty = z.infer<typeof statedUncertaintySchema>;

export const weightClassSchema = z.literal(['E2', 'F1', 'F2', 'M1', 'M2', 'M3']);
export type WeightClass = z.infer<typeof weightClassSchema>;

export const weightSchema = z.strictObject({
  id,
  name,
  /** Conventional mass: nominal (then with a class or a limit) or from a certificate. */
  massKg: z.number().min(0.001).max(5000),
  densityKgM3: z.number().min(500).max(25_000),
  /** OIML R 111 class of the nominal mass, or an uncertainty of its own in kg. */
  tolerance: z.discriminatedUnion('kind', [
    z.strictObject({ kind: z.literal('class'), weightClass: weightClassSchema }),
    z.strictObject({ kind: z.literal('own'), uncertaintyKg: statedUncertaintySchema }),
  ]),
  certificate: z.string().trim().max(120),
  /** The certificate holds up to and including this day; null: none, or it names none. */
  certificateValidUntil: daySchema.nullable(),
});
export type Weight = z.infer<typeof weightSchema>;

export const armSchema = z.strictObject({
  id,
  name,
  lengthM: z.number().min(0.001).max(20),
  lengthUncertaintyM: statedUncertaintySchema,
  /** From the horizontal, as set. */
  angleDeg: z.number().min(-30).max(30),
  /** The arm lies within this of it; rectangular. */
  angleLimitDeg: z.number().min(0).max(10),
  /** The arm itself; null where the zero is taken with the bare arm fitted, as it should be. */
  own: z
    .strictObject({
      massKg: z.number().positive().max(1000),
      densityKgM3: z.number().min(500).max(25_000),
      centreOfMassM: z.number().min(-20).max(20),
    })
    .nullable(),
});
export type Arm = z.infer<typeof armSchema>;

export const airInputSchema = z.discriminatedUnion('source', [
  /** 1.2 kg/m3, the reference density of conventional mass. */
  z.strictObject({ source: z.literal('standard') }),
  z.strictObject({ source: z.literal('entered'), densityKgM3: z.number().min(0.5).max(1.6) }),
  z.strictObject({
    source: z.literal('measured'),
    temperatureC: z.number().min(-10).max(50),
    pressureHpa: z.number().min(500).max(1100),
    humidityPercent: z.number().min(0).max(100),
  }),
]);
export type AirInput = z.infer<typeof airInputSchema>;

export const siteSchema = z.strictObject({
  id,
  name,
  gravity: gravityInputSchema,
  /** In m/s2; null takes what is known of normal gravity from latitude and height. */
  gravityUncertaintyMps2: statedUncertaintySchema.nullable(),
  air: airInputSchema,
});
export type Site = z.infer<typeof siteSchema>;

export const standardSchema = z.discriminatedUnion('kind', [
  z.strictObject({ kind: z.literal('weight'), weight: weightSchema }),
  z.strictObject({ kind: z.literal('arm'), arm: armSchema }),
  z.strictObject({ kind: z.literal('site'), site: siteSchema }),
]);
export type Standard = z.infer<typeof standardSchema>;

export const standardsSchema = z.strictObject({
  weights: z.array(weightSchema),
  arms: z.array(armSchema),
  sites: z.array(siteSchema),
});
export type Standards = z.infer<typeof standardsSchema>;
