import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import {
  readyMadeProfiles,
  type AmplifierProfile,
} from '../../../../shared-lib/amplifier/amplifier-profile.ts';
import {
  createLineDecoder,
  delimiterOf,
  type DecodedLine,
} from '../../../../shared-lib/amplifier/decode-amplifier-line.ts';
import { createLineFormatter } from '../../../../shared-lib/amplifier/format-amplifier-line.ts';
import { arbitraryProfile } from '../../../helpers/arbitrary-profile.ts';

function profile(id: string, changes: Partial<AmplifierProfile> = {}): AmplifierProfile {
  const found = readyMadeProfiles.find((candidate) => candidate.id === id);
  if (!found) throw new Error(`There is no profile ${id}`);
  return { ...found, ...changes };
}

function decodeWith(used: AmplifierProfile, line: string): DecodedLine | string {
  const into: DecodedLine = { counts: 0, sequence: 0, timeUs: 0, flags: 0 };
  return createLineDecoder(used)(line, into) ?? into;
}

describe('the profile "counts"', () => {
  const used = profile('counts');
  it.each([
    ['-123456', -123456],
    ['+42', 42],
    ['0', 0],
    ['  17 ', 17],
    ['8388607\r', 8388607],
    ['\n-8388608', -8388608],
  ])('reads %j as %d', (line, counts) => {
    expect(decodeWith(used, line)).toEqual({
      counts,
      sequence: Number.NaN,
      timeUs: Number.NaN,
      flags: Number.NaN,
    });
  });

  it.each(['', '-', '12a', '1.5', '1e3', '0x10', '--1', '1 2', '1\r2', '9999999999999999'])(
    'refuses %j instead of guessing',
    (line) => {
      expect(decodeWith(used, line)).toBe('badLine');
    },
  );

  it.each([
    ['8388608', 8388608],
    ['-8388609', -8388609],
    ['999999999999999', 999999999999999],
  ])('tells %s, which no converter of 24 bits can give, from a line that cannot be read', (line, counts) => {
    const into: DecodedLine = { counts: 0, sequence: 0, timeUs: 0, flags: 0 };
    expect(createLineDecoder(used)(line, into)).toBe('beyondRails');
    expect(into).toEqual({ counts, sequence: Number.NaN, timeUs: Number.NaN, flags: Number.NaN });
  });
});

describe('the profile "sequence, counts"', () => {
  const used = profile('sequence-counts', { sequence: { field: 0, modulus: 65536, numeral: 'decimal' } });

  it('takes each number from its field', () => {
    expect(decodeWith(used, '1042,-123456')).toMatchObject({ counts: -123456, sequence: 1042 });
  });

  it('passes over fields that the profile does not name', () => {
    expect(decodeWith(used, '1042,-123456,spare,7')).toMatchObject({ counts: -123456, sequence: 1042 });
  });

  it('fills in the whole line where only the counts lie beyond the rails', () => {
    const into: DecodedLine = { counts: 0, sequence: 0, timeUs: 0, flags: 0 };
    expect(createLineDecoder(used)('1042,8388608', into)).toBe('beyondRails');
    expect(into).toMatchObject({ counts: 8388608, sequence: 1042 });
    expect(decodeWith(used, '65536,8388608')).toBe('badLine');
  });

  it.each(['1042', '1042,', ',5', '65536,5', '-1,5', '1042;5'])('refuses %j', (line) => {
    expect(decodeWith(used, line)).toBe('badLine');
  });
});

describe('the checksum of NMEA 0183', () => {
  const used = profile('sequence-time-counts-checksum');

  it('accepts the line whose exclusive or agrees', () => {
    expect(decodeWith(used, '$1042,13025000,-123456*28')).toEqual({
      counts: -123456,
      sequence: 1042,
      timeUs: 13025000,
      flags: Number.NaN,
    });
  });

  it('takes the digits of the checksum in either case', () => {
    // By hand, in hexadecimal: 31^2C^31^2C^37 = 37 for "1,1,7"; then 37^2C^26 = 3D for "1,1,7,&".
    expect(decodeWith(used, '$1,1,7*37')).toMatchObject({ counts: 7 });
    expect(decodeWith(used, '$1,1,7,&*3D')).toMatchObject({ counts: 7 });
    expect(decodeWith(used, '$1,1,7,&*3d')).toMatchObject({ counts: 7 });
  });

  it('refuses every single altered character of a line', () => {
    const line = '$1042,13025000,-123456*28';
    for (let index = 0; index < line.length; index += 1) {
      const altered =
        line.slice(0, index) + String.fromCharCode(line.charCodeAt(index) ^ 1) + line.slice(index + 1);
      expect(decodeWith(used, altered), altered).toMatch(/^bad/);
    }
  });

  it('tells a wrong checksum from a line of another form', () => {
    expect(decodeWith(used, '$1042,13025000,-123457*28')).toBe('badChecksum');
    expect(decodeWith(used, '1042,13025000,-123456*28')).toBe('badLine');
    expect(decodeWith(used, '$1042,13025000,-123456')).toBe('badLine');
    expect(decodeWith(used, '$*')).toBe('badLine');
    expect(decodeWith(used, '$1042,13025000,-123456*G8')).toBe('badLine');
  });
});

describe('counts in hexadecimal', () => {
  // Two's complement worked out by hand: the top bit of N weighs -2^(N-1), every other bit its own power of two.
  it.each([
    [8, '00', 0],
    [8, '01', 1],
    [8, '7F', 127],
    [8, '80', -128],
    [8, '81', -127],
    [8, 'FF', -1],
    [16, '0000', 0],
    [16, '00FF', 255],
    [16, '7FFF', 32_767],
    [16, '8000', -32_768],
    [16, '8001', -32_767],
    [16, 'FFFE', -2],
    [16, 'FFFF', -1],
    [24, '000000', 0],
    [24, '01E240', 123_456],
    [24, '7FFFFF', 8_388_607],
    [24, '800000', -8_388_608],
    [24, 'FE1DC0', -123_456],
    [24, 'FFFFFF', -1],
    [32, '00000000', 0],
    [32, '7FFFFFFF', 2_147_483_647],
    [32, '80000000', -2_147_483_648],
    [32, 'FFFFFFFF', -1],
  ])('of %d bits: %s is %d, in either case and behind 0x', (bits, digits, counts) => {
    const used = profile('counts', { countsForm: { numeral: 'hex', bits }, converterBits: bits });
    for (const line of [digits, digits.toLowerCase(), `0x${digits}`, ` ${digits}\r`]) {
      expect(decodeWith(used, line), line).toMatchObject({ counts });
    }
  });

  it.each([
    ['F', 15],
    ['7f', 127],
    ['0', 0],
    ['00000000FFFF', -1],
  ])('may lack leading zeros or have more: %s of 16 bits is %d', (line, counts) => {
    const used = profile('counts', { countsForm: { numeral: 'hex', bits: 16 }, converterBits: 16 });
    expect(decodeWith(used, line)).toMatchObject({ counts });
  });

  it.each(['', '0x', '-1', '+1', 'G', '1G', '12 34', '1.5', '10000', '1FFFF', '00000000000000001'])(
    'are refused in %j of 16 bits',
    (line) => {
      const used = profile('counts', { countsForm: { numeral: 'hex', bits: 16 }, converterBits: 16 });
      expect(decodeWith(used, line)).toBe('badLine');
    },
  );

  it('of more bits than the converter has can lie beyond its rails', () => {
    const used = profile('counts', { countsForm: { numeral: 'hex', bits: 32 }, converterBits: 24 });
    expect(decodeWith(used, 'FFFFFFFF')).toMatchObject({ counts: -1 });
    expect(decodeWith(used, 'FF800000')).toMatchObject({ counts: -8_388_608 });
    expect(decodeWith(used, 'FF7FFFFF')).toBe('beyondRails');
    expect(decodeWith(used, '00800000')).toBe('beyondRails');
  });
});

describe('counters', () => {
  // By hand: a counter of modulus m runs from 0 to m - 1.
  it.each([
    [16, 'decimal', '15', 15, '16'],
    [256, 'decimal', '255', 255, '256'],
    [1000, 'decimal', '999', 999, '1000'],
    [65_536, 'decimal', '65535', 65_535, '65536'],
    [16, 'hex', 'F', 15, '10'],
    [256, 'hex', 'ff', 255, '100'],
    [1000, 'hex', '3E7', 999, '3E8'],
    [65_536, 'hex', 'FFFF', 65_535, '10000'],
    [2 ** 32, 'hex', 'FFFFFFFF', 4_294_967_295, '100000000'],
    [2 ** 48, 'hex', '0000FFFFFFFFFFFF', 281_474_976_710_655, '1000000000000'],
  ] as const)(
    'of modulus %d in %s end at %s, which is %d; %s is refused',
    (modulus, numeral, top, value, beyond) => {
      const sequence = profile('sequence-counts', { sequence: { field: 0, modulus, numeral } });
      expect(decodeWith(sequence, `${top},5`)).toMatchObject({ sequence: value, counts: 5 });
      expect(decodeWith(sequence, `${beyond},5`)).toBe('badLine');
      expect(decodeWith(sequence, '-1,5')).toBe('badLine');

      const time = profile('counts', { countsField: 1, deviceTimeUs: { field: 0, modulus, numeral } });
      expect(decodeWith(time, `${top},5`)).toMatchObject({ timeUs: value, counts: 5 });
      expect(decodeWith(time, `${beyond},5`)).toBe('badLine');
    },
  );
});

describe('status flags', () => {
  const flags = (numeral: 'decimal' | 'hex') =>
    profile('counts', { statusFlags: { field: 1, numeral, bits: [] } });

  it.each([
    ['hex', '7,0', 0],
    ['hex', '7,1F', 31],
    ['hex', '7,0x0001', 1],
    ['hex', '7,80000000', 2_147_483_648],
    ['hex', '7,ffffffff', 4_294_967_295],
    ['decimal', '7,10', 10],
    ['decimal', '7,4294967295', 4_294_967_295],
  ] as const)('in %s: %j carries %d, without a sign', (numeral, line, value) => {
    expect(decodeWith(flags(numeral), line)).toMatchObject({ counts: 7, flags: value });
  });

  it.each([
    ['hex', '7'],
    ['hex', '7,'],
    ['hex', '7,-1'],
    ['hex', '7,100000000'],
    ['decimal', '7,1F'],
    ['decimal', '7,-1'],
    ['decimal', '7,4294967296'],
  ] as const)('in %s are refused in %j', (numeral, line) => {
    expect(decodeWith(flags(numeral), line)).toBe('badLine');
  });
});

describe('a stream of mixed line endings', () => {
  function countsIn(lineEnding: AmplifierProfile['lineEnding'], stream: string): (number | string)[] {
    const used = profile('counts', { lineEnding });
    const lines = stream.split(delimiterOf(used)).slice(0, -1);
    return lines.map((line) => {
      const decoded = decodeWith(used, line);
      return typeof decoded === 'string' ? decoded : decoded.counts;
    });
  }

  it.each(['\n', '\r\n'] as const)('is cut at line feeds where the profile says %j', (lineEnding) => {
    expect(countsIn(lineEnding, '1\n2\r\n3\n\u0000-4\r\r\n')).toEqual([1, 2, 3, -4]);
  });

  it('is cut at carriage returns only where the profile says so', () => {
    expect(countsIn('\r', '1\r2\r\n3\r')).toEqual([1, 2, 3]);
  });

  it('joins no two lines into one number', () => {
    expect(countsIn('\n', '1\r2\n3\n')).toEqual(['badLine', 3]);
  });
});

describe('blanks', () => {
  it('separate fields as one where they stand in a row', () => {
    const used = profile('sequence-counts', { separator: ' ' });
    expect(decodeWith(used, '   7      -12')).toMatchObject({ sequence: 7, counts: -12 });
    expect(decodeWith(used, '1042 -123456 ')).toMatchObject({ sequence: 1042, counts: -123456 });
    expect(decodeWith(used, '1042 ')).toBe('badLine');
  });

  it('leave an empty field between tabs what it is', () => {
    const used = profile('counts', { separator: '\t', countsField: 1 });
    expect(decodeWith(used, '\t12')).toMatchObject({ counts: 12 });
    expect(decodeWith(used, '\n\t12\r')).toMatchObject({ counts: 12 });
    expect(decodeWith(used, '\t\t12')).toBe('badLine');
  });
});

describe('a line that was written by a profile', () => {
  it('is read again by it as what it said, whatever the profile', () => {
    const sample = fc.record({
      sequence: fc.nat({ max: 2 ** 31 - 1 }).map((value) => value * 1_000_003),
      timeUs: fc.nat({ max: 2 ** 31 - 1 }).map((value) => value * 1_000_003),
      countsShare: fc.double({ min: 0, max: 1, noNaN: true }),
      flags: fc.integer({ min: 0, max: 2 ** 32 - 1 }),
    });
    fc.assert(
      fc.property(arbitraryProfile, sample, (used, { sequence, timeUs, countsShare, flags }) => {
        const span = 2 ** used.converterBits;
        const counts = Math.min(Math.floor(countsShare * span), span - 1) - span / 2;
        const written = createLineFormatter(used)({ sequence, timeUs, counts, flags });
        const line = written.slice(0, written.indexOf(delimiterOf(used)));
        expect(decodeWith(used, line)).toEqual({
          counts,
          sequence: used.sequence ? sequence % used.sequence.modulus : Number.NaN,
          timeUs: used.deviceTimeUs ? timeUs % used.deviceTimeUs.modulus : Number.NaN,
          flags: used.statusFlags ? flags : Number.NaN,
        });
      }),
      { numRuns: 500 },
    );
  });
});
