import { z } from 'zod';

/**
 * How to read one line of an amplifier. A profile is data: the decoder knows no amplifier by name.
 *
 * A field is a position (from 0) between separators. `modulus` is the number at which a counter starts again at 0.
 * `converterBits` gives the rails: a two's complement converter of N bits ends at -2^(N-1) and 2^(N-1) - 1.
 */
const counterFieldSchema = z.strictObject({
  field: z.int().min(0).max(31),
  modulus: z
    .int()
    .min(16)
    .max(2 ** 48),
});

export const amplifierProfileSchema = z.strictObject({
  id: z.string().min(1).max(64),
  name: z.string().min(1).max(80),
  example: z.string().max(200),
  baudRate: z.int().min(300).max(20_000_000),
  dataBits: z.literal([7, 8]),
  stopBits: z.literal([1, 2]),
  parity: z.literal(['none', 'even', 'odd']),
  lineEnding: z.literal(['\n', '\r\n', '\r']),
  separator: z.literal([',', ';', ' ', '\t']),
  countsField: z.int().min(0).max(31),
  sequence: counterFieldSchema.nullable(),
  deviceTimeUs: counterFieldSchema.nullable(),
  /** `xor`: the line is `$...*hh`, hh the exclusive or of the characters between `$` and `*`, as in NMEA 0183. */
  checksum: z.literal(['none', 'xor']),
  nominalRateHz: z.number().min(1).max(1_000_000),
  converterBits: z.int().min(8).max(32),
  antiAliasBandwidthHz: z.number().positive().nullable(),
});

export type AmplifierProfile = z.infer<typeof amplifierProfileSchema>;

const common = {
  baudRate: 115_200,
  dataBits: 8,
  stopBits: 1,
  parity: 'none',
  lineEnding: '\n',
  separator: ',',
  nominalRateHz: 80,
  converterBits: 24,
  antiAliasBandwidthHz: null,
} as const;

export const readyMadeProfiles: readonly AmplifierProfile[] = [
  {
    ...common,
    id: 'counts',
    name: 'counts',
    example: '-123456',
    countsField: 0,
    sequence: null,
    deviceTimeUs: null,
    checksum: 'none',
  },
  {
    ...common,
    id: 'sequence-counts',
    name: 'sequence, counts',
    example: '1042,-123456',
    countsField: 1,
    sequence: { field: 0, modulus: 2 ** 32 },
    deviceTimeUs: null,
    checksum: 'none',
  },
  {
    ...common,
    id: 'sequence-time-counts-checksum',
    name: 'sequence, time, counts, checksum',
    example: '$1042,13025000,-123456*28',
    countsField: 2,
    sequence: { field: 0, modulus: 2 ** 32 },
    deviceTimeUs: { field: 1, modulus: 2 ** 32 },
    checksum: 'xor',
  },
];

/** What the user sets for one amplifier: a ready-made profile and what differs from it. */
export const amplifierSettingsSchema = z.strictObject({
  path: z.string().min(1).max(255),
  profileId: z.string().min(1).max(64),
  baudRate: amplifierProfileSchema.shape.baudRate,
  nominalRateHz: amplifierProfileSchema.shape.nominalRateHz,
  converterBits: amplifierProfileSchema.shape.converterBits,
});

export type AmplifierSettings = z.infer<typeof amplifierSettingsSchema>;
