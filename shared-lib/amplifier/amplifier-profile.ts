import { z } from 'zod';

/**
 * How to read one line of an amplifier. A profile is data: the decoder knows no amplifier by name.
 *
 * A field is a position (from 0) between separators. `modulus` is the number at which a counter starts again at 0.
 * `converterBits` gives the rails: a two's complement converter of N bits ends at -2^(N-1) and 2^(N-1) - 1.
 *
 * What has a default was not in the profiles of older trials, which are never rewritten.
 */
const fieldSchema = z.int().min(0).max(31);
const numeralSchema = z.literal(['decimal', 'hex']);

const counterFieldSchema = z.strictObject({
  field: fieldSchema,
  modulus: z
    .int()
    .min(16)
    .max(2 ** 48),
  numeral: numeralSchema.default('decimal'),
});

/** Hexadecimal counts are two's complement of so many bits, with or without leading zeros: `FFFF` of 16 bits is -1. */
const countsFormSchema = z.discriminatedUnion('numeral', [
  z.strictObject({ numeral: z.literal('decimal') }),
  z.strictObject({ numeral: z.literal('hex'), bits: z.int().min(8).max(32) }),
]);

/** A field whose bits say how the amplifier itself fares. A bit that is a fault is raised while it is set. */
const statusFlagsSchema = z.strictObject({
  field: fieldSchema,
  numeral: numeralSchema,
  bits: z
    .array(
      z.strictObject({
        bit: z.int().min(0).max(31),
        meaning: z.string().trim().min(1).max(80),
        isFault: z.boolean(),
      }),
    )
    .max(32),
});

/** Sent as it stands, control characters included; null: nothing is sent. */
const textSchema = z.string().min(1).max(200).nullable();

const textsToSendSchema = z.strictObject({
  /** As soon as the port is open. */
  onOpen: textSchema,
  /** After that, for amplifiers that only stream when told to. */
  start: textSchema,
  /** Before the port is closed. */
  stop: textSchema,
  /** When the operator sets the zero; the zero is then read from samples that came after it. */
  zero: textSchema,
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
  countsField: fieldSchema,
  countsForm: countsFormSchema.default({ numeral: 'decimal' }),
  sequence: counterFieldSchema.nullable(),
  deviceTimeUs: counterFieldSchema.nullable(),
  statusFlags: statusFlagsSchema.nullable().default(null),
  /** `xor`: the line is `$...*hh`, hh the exclusive or of the characters between `$` and `*`, as in NMEA 0183. */
  checksum: z.literal(['none', 'xor']),
  nominalRateHz: z.number().min(1).max(1_000_000),
  converterBits: z.int().min(8).max(32),
  antiAliasBandwidthHz: z.number().positive().nullable(),
  textsToSend: textsToSendSchema.default({ onOpen: null, start: null, stop: null, zero: null }),
});

export type AmplifierProfile = z.infer<typeof amplifierProfileSchema>;
export type StatusFlags = NonNullable<AmplifierProfile['statusFlags']>;
export type TextsToSend = AmplifierProfile['textsToSend'];

const common = {
  baudRate: 115_200,
  dataBits: 8,
  stopBits: 1,
  parity: 'none',
  lineEnding: '\n',
  separator: ',',
  countsForm: { numeral: 'decimal' },
  statusFlags: null,
  textsToSend: { onOpen: null, start: null, stop: null, zero: null },
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
    sequence: { field: 0, modulus: 2 ** 32, numeral: 'decimal' },
    deviceTimeUs: null,
    checksum: 'none',
  },
  {
    ...common,
    id: 'sequence-time-counts-checksum',
    name: 'sequence, time, counts, checksum',
    example: '$1042,13025000,-123456*28',
    countsField: 2,
    sequence: { field: 0, modulus: 2 ** 32, numeral: 'decimal' },
    deviceTimeUs: { field: 1, modulus: 2 ** 32, numeral: 'decimal' },
    checksum: 'xor',
  },
];

/** The id of what stands for the profile of curves that were brought in: of their amplifier nothing is known but its rate. */
export const CURVES_OF_A_FILE = 'imported-curves';

/** What the user sets for one amplifier: a ready-made profile and what differs from it. */
export const amplifierSettingsSchema = z.strictObject({
  path: z.string().min(1).max(255),
  profileId: z.string().min(1).max(64),
  baudRate: amplifierProfileSchema.shape.baudRate,
  nominalRateHz: amplifierProfileSchema.shape.nominalRateHz,
  converterBits: amplifierProfileSchema.shape.converterBits,
});

export type AmplifierSettings = z.infer<typeof amplifierSettingsSchema>;

/** What a USB port says of the device behind it; by these an amplifier is known again on another port. */
export const usbIdentitySchema = z.strictObject({
  serialNumber: z.string().max(200),
  vendorId: z.string().max(20).nullable(),
  productId: z.string().max(20).nullable(),
});
export type UsbIdentity = z.infer<typeof usbIdentitySchema>;

/** An amplifier that was connected before, as it is kept. */
export const keptAmplifierSchema = z.strictObject({
  id: z.string(),
  name: z.string().trim().min(1).max(80),
  settings: amplifierSettingsSchema,
  /** Null where its port says nothing of it: then it is known by the path only. */
  usb: usbIdentitySchema.nullable(),
  /** The transducer that hangs on it; null until one was used with it. */
  transducerId: z.string().nullable(),
  lastConnectedAt: z.string(),
});
export type KeptAmplifier = z.infer<typeof keptAmplifierSchema>;
