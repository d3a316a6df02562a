import { describe, expect, it } from 'vitest';
import {
  readyMadeProfiles,
  type AmplifierProfile,
} from '../../../../shared-lib/amplifier/amplifier-profile.ts';
import {
  createLineFormatter,
  exampleLine,
  xorChecksum,
} from '../../../../shared-lib/amplifier/format-amplifier-line.ts';
import { AppError } from '../../../../shared-lib/app-error.ts';

function profileNamed(id: string): AmplifierProfile {
  const profile = readyMadeProfiles.find((candidate) => candidate.id === id);
  if (!profile) throw new Error(`No profile ${id}`);
  return profile;
}

describe('the checksum of NMEA 0183', () => {
  it.each([
    // Test vectors of the crate swiftnav 0.13.0 (docs.rs, src/nmea/checksum.rs).
    ['GPGGA,123519,4807.038,N,01131.000,E,1,08,0.9,545.4,M,46.9,M,,', '47'],
    ['GPGLL,5057.970,N,00146.110,E,142451,A', '27'],
    // Sentences printed with the rule at tigoe.net (pcomp/code, November 2007) and forum.espruino.com (comment 17066429).
    ['GPRMC,155123.000,A,4043.8432,N,07359.7653,W,0.15,83.25,200407,,', '28'],
    ['GPGLL,5300.97914,N,00259.98174,E,125926,A', '28'],
  ])('of the published sentence %s is %s', (body, checksum) => {
    expect(xorChecksum(body)).toBe(checksum);
  });

  it.each([
    // By hand: 0x41 = 0100 0001, 0x42 = 0100 0010; exclusive or 0000 0011.
    ['AB', '03'],
    // 0x31 ^ 0x2C = 0x1D; 0x1D ^ 0x32 = 0x2F.
    ['1,2', '2F'],
    ['', '00'],
    ['z', '7A'],
  ])('of "%s" is %s, worked out by hand', (body, checksum) => {
    expect(xorChecksum(body)).toBe(checksum);
  });
});

describe('a formatted line', () => {
  const sample = { sequence: 1042, timeUs: 13_025_000, counts: -123_456 };

  it.each(readyMadeProfiles.map((profile) => [profile.name, profile] as const))(
    'of the profile "%s" is the example its makers give',
    (_, profile) => {
      expect(createLineFormatter(profile)(sample)).toBe(`${profile.example}\n`);
    },
  );

  it('starts its counters again at their moduli', () => {
    const profile: AmplifierProfile = {
      ...profileNamed('sequence-time-counts-checksum'),
      checksum: 'none',
      sequence: { field: 0, modulus: 256, numeral: 'decimal' },
      deviceTimeUs: { field: 1, modulus: 65_536, numeral: 'decimal' },
    };
    const format = createLineFormatter(profile);
    expect(format({ sequence: 255, timeUs: 65_535, counts: 1 })).toBe('255,65535,1\n');
    expect(format({ sequence: 256, timeUs: 65_536, counts: 1 })).toBe('0,0,1\n');
    expect(format({ sequence: 2 ** 40 + 3, timeUs: 2 ** 45 + 7, counts: 1 })).toBe('3,7,1\n');
  });

  it('has the separator, line ending and order of its profile, and 0 in fields nobody named', () => {
    const profile: AmplifierProfile = {
      ...profileNamed('sequence-counts'),
      separator: ';',
      lineEnding: '\r\n',
      countsField: 0,
      sequence: { field: 3, modulus: 1000, numeral: 'decimal' },
    };
    expect(createLineFormatter(profile)({ sequence: 12, timeUs: 0, counts: 34 })).toBe('34;0;0;12\r\n');
  });

  it('has hexadecimal numbers in capitals, as wide as their bits need', () => {
    const profile: AmplifierProfile = {
      ...profileNamed('sequence-time-counts-checksum'),
      checksum: 'none',
      sequence: { field: 0, modulus: 4096, numeral: 'hex' },
      deviceTimeUs: { field: 1, modulus: 2 ** 24, numeral: 'hex' },
      countsForm: { numeral: 'hex', bits: 18 },
      converterBits: 18,
      statusFlags: { field: 3, numeral: 'hex', bits: [{ bit: 9, meaning: 'supply low', isFault: true }] },
    };
    const format = createLineFormatter(profile);
    // By hand: modulus 4096 needs 3 digits, 2^24 needs 6, 18 bits need 5, bits up to the 9th need 3; -1 is 2^18 - 1.
    expect(format({ sequence: 10, timeUs: 171, counts: -1 })).toBe('00A,0000AB,3FFFF,000\n');
    expect(format({ sequence: 4095, timeUs: 2 ** 24, counts: 26, flags: 0x201 })).toBe(
      'FFF,000000,0001A,201\n',
    );
    expect(() => format({ sequence: 0, timeUs: 0, counts: 131_072 })).toThrow(AppError);
    expect(() => format({ sequence: 0, timeUs: 0, counts: -131_073 })).toThrow(AppError);
  });

  it('takes counters that step back below 0 from the top', () => {
    const profile: AmplifierProfile = {
      ...profileNamed('sequence-counts'),
      sequence: { field: 0, modulus: 256, numeral: 'decimal' },
    };
    expect(createLineFormatter(profile)({ sequence: -3, timeUs: 0, counts: 1 })).toBe('253,1\n');
  });

  it('has its status flags as a decimal number, none set by default', () => {
    const profile: AmplifierProfile = {
      ...profileNamed('counts'),
      statusFlags: { field: 1, numeral: 'decimal', bits: [] },
    };
    const format = createLineFormatter(profile);
    expect(format({ sequence: 0, timeUs: 0, counts: 5 })).toBe('5,0\n');
    expect(format({ sequence: 0, timeUs: 0, counts: 5, flags: 2 ** 31 })).toBe('5,2147483648\n');
  });

  it.each(readyMadeProfiles.map((profile) => [profile.name, profile] as const))(
    'stands as the example of the profile "%s"',
    (_, profile) => {
      expect(exampleLine(profile)).toBe(profile.example);
    },
  );

  it('is an example within the rails of a small converter', () => {
    expect(exampleLine({ ...profileNamed('counts'), converterBits: 8 })).toBe('-128');
  });

  it('is refused where two meanings share a field', () => {
    const profile = { ...profileNamed('sequence-counts'), countsField: 0 };
    expect(() => createLineFormatter(profile)).toThrow(AppError);
  });
});
