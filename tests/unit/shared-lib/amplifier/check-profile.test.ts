import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import {
  amplifierProfileSchema,
  readyMadeProfiles,
  type AmplifierProfile,
} from '../../../../shared-lib/amplifier/amplifier-profile.ts';
import {
  checkProfile,
  linesCarriedHz,
  ordinalOfField,
  type ProfileFindingCode,
} from '../../../../shared-lib/amplifier/check-profile.ts';
import { arbitraryFromSchema } from '../../../helpers/arbitrary-from-schema.ts';
import { arbitraryProfile } from '../../../helpers/arbitrary-profile.ts';

const [countsOnly, , checksummed] = readyMadeProfiles;
if (!countsOnly || !checksummed) throw new Error('The ready-made profiles are missing.');

const own: AmplifierProfile = { ...checksummed, id: 'own', name: 'North bench' };
const decimal = 'decimal' as const;

interface Row {
  readonly code: ProfileFindingCode;
  readonly severity: 'error' | 'caution';
  readonly changes: Partial<AmplifierProfile>;
  /** What the sentence must name, so that it says what to do. */
  readonly says: readonly string[];
}

const rows: readonly Row[] = [
  {
    code: 'setting-invalid',
    severity: 'error',
    changes: { dataBits: 9 as 8 },
    says: ['dataBits'],
  },
  {
    code: 'field-out-of-range',
    severity: 'error',
    changes: { countsField: 32 },
    says: ['the counts', '32nd'],
  },
  {
    code: 'fields-overlap',
    severity: 'error',
    changes: { countsField: 1 },
    says: ['2nd field', 'the counts and the device time', 'its own field'],
  },
  { code: 'name-empty', severity: 'error', changes: { name: '  ' }, says: ['Give it one'] },
  {
    code: 'name-ready-made',
    severity: 'error',
    changes: { name: ' Sequence, Counts ' },
    says: ['Sequence, Counts', 'another name'],
  },
  {
    // By hand: at 80 Sa/s one second is 80 samples; 64 last 0.8 s.
    code: 'sequence-modulus-small',
    severity: 'error',
    changes: { sequence: { field: 0, modulus: 64, numeral: decimal } },
    says: ['0.8 s', 'at least 80'],
  },
  {
    code: 'time-modulus-small',
    severity: 'error',
    changes: { deviceTimeUs: { field: 1, modulus: 65_536, numeral: decimal } },
    says: ['65536 us', 'at least 1000000 us'],
  },
  {
    // By hand: at 2 Sa/s three periods are 1.5 s.
    code: 'time-modulus-small',
    severity: 'error',
    changes: { nominalRateHz: 2, deviceTimeUs: { field: 1, modulus: 1_200_000, numeral: decimal } },
    says: ['1200000 us', 'at least 1500000 us'],
  },
  {
    code: 'time-too-coarse',
    severity: 'error',
    changes: { sequence: null, nominalRateHz: 500_000, baudRate: 20_000_000 },
    says: ['2 us apart', 'below 500000 Sa/s', 'sequence number'],
  },
  {
    code: 'hex-narrower-than-converter',
    severity: 'error',
    changes: { countsForm: { numeral: 'hex', bits: 16 } },
    says: ['16 bits', '24 bits', 'at least 24'],
  },
  {
    code: 'hex-wider-than-converter',
    severity: 'caution',
    changes: { countsForm: { numeral: 'hex', bits: 32 }, example: '' },
    says: ['32 bits', 'FFFFFFFF', 'set the counts to 24 bits'],
  },
  {
    code: 'flag-bit-twice',
    severity: 'error',
    changes: {
      statusFlags: {
        field: 3,
        numeral: 'hex',
        bits: [
          { bit: 2, meaning: 'too warm', isFault: true },
          { bit: 3, meaning: 'settling', isFault: false },
          { bit: 2, meaning: 'too cold', isFault: true },
        ],
      },
    },
    says: ['Bit 2 ', 'Keep one'],
  },
  {
    // By hand: 1 + 8 + 0 + 1 bits a character; "$0,0,0*hh" and a line feed are 10 characters: 9600 / 10 / 10 = 96.
    code: 'port-too-slow',
    severity: 'caution',
    changes: { baudRate: 9600, nominalRateHz: 320 },
    says: ['9600 baud', 'at most 96 lines a second', '320', 'Raise the baud rate', 'ignore the baud rate'],
  },
  {
    code: 'port-nearly-full',
    severity: 'caution',
    changes: { baudRate: 9600, nominalRateHz: 80 },
    says: ['9600 baud', 'at most 96', '80 may not', 'ignore the baud rate'],
  },
  {
    code: 'text-without-line-end',
    severity: 'caution',
    changes: { textsToSend: { onOpen: 'A\r', start: 'B', stop: 'C\r\n', zero: null } },
    says: ['to start', 'line end'],
  },
  {
    code: 'example-unreadable',
    severity: 'caution',
    changes: { example: '$1042,13025000,-123456*29' },
    says: ['*29', 'checksum'],
  },
  {
    code: 'example-unreadable',
    severity: 'caution',
    changes: { converterBits: 16 },
    says: ['-123456', '16 bits'],
  },
];

describe('checking a profile', () => {
  it.each(rows)('finds $code ($severity) and says what to do', ({ code, severity, changes, says }) => {
    const all = checkProfile({ ...own, ...changes });
    // At half a million lines a second no port is fast enough either.
    const findings = severity === 'error' ? all.filter((finding) => finding.severity === 'error') : all;
    expect(findings.map((finding) => [finding.severity, finding.code])).toEqual([[severity, code]]);
    for (const words of says) expect(findings[0]?.sentence).toContain(words);
  });

  it('has a row here for every code', () => {
    // A record of all codes that the compiler keeps whole.
    const codes: Record<ProfileFindingCode, true> = {
      'setting-invalid': true,
      'field-out-of-range': true,
      'fields-overlap': true,
      'name-empty': true,
      'name-ready-made': true,
      'sequence-modulus-small': true,
      'time-modulus-small': true,
      'time-too-coarse': true,
      'hex-narrower-than-converter': true,
      'hex-wider-than-converter': true,
      'flag-bit-twice': true,
      'port-too-slow': true,
      'port-nearly-full': true,
      'text-without-line-end': true,
      'example-unreadable': true,
    };
    expect(new Set(rows.map(({ code }) => code))).toEqual(new Set(Object.keys(codes)));
  });

  it.each(readyMadeProfiles.map((profile) => [profile.name, profile] as const))(
    'finds nothing in the ready-made profile "%s"',
    (_, profile) => {
      expect(checkProfile(profile)).toEqual([]);
    },
  );

  it('finds nothing in a profile that lies just inside every limit', () => {
    const edge: AmplifierProfile = {
      ...own,
      example: '',
      sequence: { field: 0, modulus: 80, numeral: decimal },
      deviceTimeUs: { field: 1, modulus: 1_000_000, numeral: decimal },
      countsForm: { numeral: 'hex', bits: 24 },
    };
    expect(checkProfile(edge)).toEqual([]);
  });

  it('gives all reasons at once', () => {
    const findings = checkProfile({
      ...own,
      name: '',
      countsField: 0,
      sequence: { field: 0, modulus: 16, numeral: decimal },
      deviceTimeUs: { field: 0, modulus: 16, numeral: decimal },
      countsForm: { numeral: 'hex', bits: 8 },
      baudRate: 300,
    });
    expect(findings.map(({ code }) => code)).toEqual([
      'name-empty',
      'fields-overlap',
      'sequence-modulus-small',
      'time-modulus-small',
      'hex-narrower-than-converter',
      'port-too-slow',
    ]);
    expect(findings[1]?.sentence).toContain('the counts, the sequence number and the device time');
  });

  it('minds the grain of the device time only where the samples are placed by it', () => {
    const fast = { ...own, nominalRateHz: 600_000, baudRate: 20_000_000 };
    expect(checkProfile(fast).map(({ code }) => code)).not.toContain('time-too-coarse');
  });

  it('finds no error in profiles that can be read, whatever they are', () => {
    fc.assert(
      fc.property(arbitraryProfile, (profile) => {
        expect(checkProfile(profile).filter(({ severity }) => severity === 'error')).toEqual([]);
      }),
    );
  });

  it('answers for everything that has the shape of a profile, and for numbers still being typed', () => {
    const shaped = arbitraryFromSchema(amplifierProfileSchema) as fc.Arbitrary<AmplifierProfile>;
    fc.assert(
      fc.property(shaped, (profile) => {
        const typed = { ...profile, baudRate: NaN, nominalRateHz: NaN, converterBits: NaN, countsField: NaN };
        for (const { sentence } of checkProfile(profile)) expect(sentence).toMatch(/\.$/);
        expect(checkProfile(typed).map(({ code }) => code)).toContain('setting-invalid');
      }),
    );
  });
});

describe('what a port carries', () => {
  it('counts start, data, parity and stop bits of each character of a line', () => {
    // By hand: "0" and a line feed are 2 characters. 8 data bits: 10 bits each; 7 with parity and 2 stop bits: 11.
    const plain = { ...countsOnly, baudRate: 9600 };
    expect(linesCarriedHz(plain).shortest).toBe(480);
    expect(linesCarriedHz({ ...plain, dataBits: 7, parity: 'even', stopBits: 2 }).shortest).toBeCloseTo(
      9600 / 22,
      9,
    );
    expect(linesCarriedHz({ ...plain, lineEnding: '\r\n' }).shortest).toBe(320);
    // "0,0,0,0" and a line feed where the counts are the 4th field.
    expect(linesCarriedHz({ ...plain, countsField: 3 }).shortest).toBe(120);
    expect(linesCarriedHz(plain).usual).toBeLessThan(linesCarriedHz(plain).shortest);
  });
});

describe('the place of a field in words', () => {
  it.each([
    [0, '1st'],
    [1, '2nd'],
    [2, '3rd'],
    [3, '4th'],
    [10, '11th'],
    [12, '13th'],
    [20, '21st'],
    [31, '32nd'],
  ])('of position %d is %s', (field, words) => {
    expect(ordinalOfField(field)).toBe(words);
  });
});
