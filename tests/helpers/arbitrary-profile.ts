import fc from 'fast-check';
import {
  amplifierProfileSchema,
  type AmplifierProfile,
} from '../../shared-lib/amplifier/amplifier-profile.ts';

const numeral = fc.constantFrom('decimal' as const, 'hex' as const);
const text = fc.option(fc.string({ minLength: 1, maxLength: 20 }), { nil: null });

/** Any profile whose lines can be read: every meaning has a field of its own and its counters last for a second. */
export const arbitraryProfile: fc.Arbitrary<AmplifierProfile> = fc
  .record({
    fields: fc.uniqueArray(fc.integer({ min: 0, max: 31 }), { minLength: 4, maxLength: 4 }),
    hasSequence: fc.boolean(),
    hasTime: fc.boolean(),
    hasFlags: fc.boolean(),
    sequenceModulus: fc.integer({ min: 16, max: 2 ** 48 }),
    timeModulus: fc.integer({ min: 3_000_000, max: 2 ** 48 }),
    sequenceNumeral: numeral,
    timeNumeral: numeral,
    flagsNumeral: numeral,
    flagBits: fc.uniqueArray(fc.integer({ min: 0, max: 31 }), { maxLength: 5 }),
    isFault: fc.boolean(),
    countsNumeral: numeral,
    converterBits: fc.integer({ min: 8, max: 32 }),
    hexBits: fc.integer({ min: 8, max: 32 }),
    lineEnding: fc.constantFrom('\n' as const, '\r\n' as const, '\r' as const),
    separator: fc.constantFrom(',' as const, ';' as const, ' ' as const, '\t' as const),
    checksum: fc.constantFrom('none' as const, 'xor' as const),
    baudRate: fc.integer({ min: 300, max: 20_000_000 }),
    rateShare: fc.double({ min: 0, max: 1, noNaN: true }),
    bandwidth: fc.option(fc.double({ min: 1, max: 1e6, noNaN: true }), { nil: null }),
    name: fc.string({ minLength: 1, maxLength: 40 }),
    texts: fc.record({ onOpen: text, start: text, stop: text, zero: text }),
  })
  .map((drawn) => {
    const [countsField = 0, sequenceField = 1, timeField = 2, flagsField = 3] = drawn.fields;
    const fastestHz = Math.min(drawn.hasSequence ? drawn.sequenceModulus : 400_000, 400_000);
    return amplifierProfileSchema.parse({
      id: 'own',
      name: `own ${drawn.name}`,
      example: '',
      baudRate: drawn.baudRate,
      dataBits: 8,
      stopBits: 1,
      parity: 'none',
      lineEnding: drawn.lineEnding,
      separator: drawn.separator,
      countsField,
      countsForm:
        drawn.countsNumeral === 'decimal'
          ? { numeral: 'decimal' }
          : { numeral: 'hex', bits: Math.max(drawn.hexBits, drawn.converterBits) },
      sequence: drawn.hasSequence
        ? { field: sequenceField, modulus: drawn.sequenceModulus, numeral: drawn.sequenceNumeral }
        : null,
      deviceTimeUs: drawn.hasTime
        ? { field: timeField, modulus: drawn.timeModulus, numeral: drawn.timeNumeral }
        : null,
      statusFlags: drawn.hasFlags
        ? {
            field: flagsField,
            numeral: drawn.flagsNumeral,
            bits: drawn.flagBits.map((bit) => ({ bit, meaning: `meaning ${bit}`, isFault: drawn.isFault })),
          }
        : null,
      checksum: drawn.checksum,
      nominalRateHz: Math.max(1, drawn.rateShare * fastestHz),
      converterBits: drawn.converterBits,
      antiAliasBandwidthHz: drawn.bandwidth,
      textsToSend: drawn.texts,
    });
  });
