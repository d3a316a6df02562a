import { describe, expect, it } from 'vitest';
import type { AmplifierProfile } from '../../../../../shared-lib/amplifier/amplifier-profile.ts';
import { xorChecksum } from '../../../../../shared-lib/amplifier/format-amplifier-line.ts';
import type { LineAnalysis } from '../../../../../shared-lib/amplifier/listening/analyse-lines.ts';
import { createSeededRandom } from '../../../../../shared-lib/simulation/seeded-random.ts';
import { analysisOf, listenTo, quietCounts } from './hear-lines.ts';

function bestOf({ proposals, problem }: LineAnalysis): AmplifierProfile {
  const [best] = proposals;
  if (!best) throw new Error(`Nothing was proposed: ${problem?.sentence ?? 'without a reason'}`);
  return best.profile;
}

function hex(value: number, digits: number): string {
  return ((value + 16 ** digits) % 16 ** digits).toString(16).toUpperCase().padStart(digits, '0');
}

const guessesOf = ({ fields }: LineAnalysis): string[] => fields.map(({ guess }) => guess);

describe('lines of the ready-made forms', () => {
  it('proposes the ready-made profile for bare counts, with the rate that was measured', () => {
    const analysis = analysisOf({ rateHz: 80, write: (_, counts) => `${counts}\n` });
    expect(bestOf(analysis)).toMatchObject({
      id: 'counts',
      name: 'counts',
      nominalRateHz: 80,
      baudRate: 115_200,
      converterBits: 24,
    });
    expect(analysis.proposals[0]?.readableShare).toBe(1);
    expect(guessesOf(analysis)).toEqual(['counts']);
  });

  it('proposes the ready-made profile for a sequence that began when the port was opened', () => {
    const analysis = analysisOf({ rateHz: 1000, write: (index, counts) => `${index},${counts}\r\n` });
    expect(bestOf(analysis)).toMatchObject({
      id: 'sequence-counts',
      nominalRateHz: 1000,
      lineEnding: '\r\n',
    });
    expect(guessesOf(analysis)).toEqual(['sequence', 'counts']);
  });

  it('recognises the worked sentence with its checksum', () => {
    // $1042,13025000,-123456*28: the exclusive or was worked out by hand in the design of this form (NMEA 0183 rule).
    expect(xorChecksum('1042,13025000,-123456')).toBe('28');
    const analysis = analysisOf({
      rateHz: 80,
      write(index, counts) {
        const body =
          index === 0 ? '1042,13025000,-123456' : `${1042 + index},${13_025_000 + 12_500 * index},${counts}`;
        return `$${body}*${xorChecksum(body)}\n`;
      },
    });
    expect(bestOf(analysis)).toMatchObject({ id: 'sequence-time-counts-checksum', nominalRateHz: 80 });
    expect(guessesOf(analysis)).toEqual(['sequence', 'deviceTime', 'counts']);
    expect(analysis.proposals.map(({ profile }) => profile.name)).toContain(
      'own: sequence, counts, checksum',
    );
  });
});

describe('lines of other forms', () => {
  it.each([
    [';', ';'],
    ['\t', '\t'],
    [' ', ' '],
    [', ', ','],
  ] as const)('finds fields separated by %j', (written, separator) => {
    const analysis = analysisOf({
      rateHz: 320,
      write: (index, counts) => `${index}${written}${counts}${written}7\n`,
    });
    expect(bestOf(analysis)).toMatchObject({
      separator,
      countsField: 1,
      sequence: { field: 0 },
      nominalRateHz: 320,
    });
    expect(guessesOf(analysis)).toEqual(['sequence', 'counts', 'constant']);
    expect(analysis.proposals[0]?.readableShare).toBe(1);
  });

  it('takes columns that are filled up with spaces for one separator each', () => {
    const analysis = analysisOf({
      rateHz: 100,
      write: (index, counts) => `${String(index).padStart(6)} ${String(counts).padStart(9)}\n`,
    });
    expect(bestOf(analysis)).toMatchObject({ separator: ' ', countsField: 1, sequence: { field: 0 } });
  });

  it('reads hexadecimal numbers of a fixed width as two’s complement of so many bits', () => {
    const countsAt = (_: number, noise: number): number => Math.round(300 * noise);
    const analysis = analysisOf({ rateHz: 500, write: (_, counts) => `${hex(counts, 6)}\n`, countsAt });
    expect(bestOf(analysis)).toMatchObject({ countsForm: { numeral: 'hex', bits: 24 }, converterBits: 24 });
    const [field] = analysis.fields;
    expect(Math.abs(field?.value ?? Infinity)).toBeLessThanOrEqual(300);
    expect(field?.spreadNow).toBeLessThanOrEqual(600);
  });

  it('reads a hexadecimal sequence whose width says where it starts again', () => {
    const analysis = analysisOf({
      rateHz: 1000,
      write: (index, counts) => `${hex(0x1f00 + index, 4)} ${hex(counts, 8)}\n`,
    });
    expect(bestOf(analysis)).toMatchObject({
      sequence: { field: 0, modulus: 65_536, numeral: 'hex' },
      countsForm: { numeral: 'hex', bits: 32 },
      converterBits: 32,
    });
  });

  it('takes a range of 32 bits where numbers need it', () => {
    const countsAt = (_: number, noise: number): number => Math.round(1_200_000_000 + 900 * noise);
    const analysis = analysisOf({ rateHz: 80, write: (_, counts) => `${counts}\n`, countsAt });
    expect(bestOf(analysis).converterBits).toBe(32);
    expect(analysis.proposals[0]?.reasons.join(' ')).toContain('need more than 24 bits');
  });

  it('passes over lines of text between the numbers', () => {
    const analysis = analysisOf({
      rateHz: 100,
      write: (index, counts) =>
        (index % 20 === 0 ? 'load cell amplifier, version 2, ready\n' : '') + `${index};${counts}\n`,
    });
    expect(bestOf(analysis)).toMatchObject({ separator: ';', countsField: 1, nominalRateHz: 100 });
    expect(analysis.proposals[0]?.readableShare).toBeCloseTo(20 / 21, 2);
  });

  it('proposes the same when every seventh line is garbage', () => {
    const random = createSeededRandom(3, 0);
    const garbage = (): string =>
      Array.from({ length: 12 }, () => String.fromCharCode(128 + Math.floor(120 * random.uniform()))).join(
        '',
      );
    const analysis = analysisOf({
      rateHz: 1000,
      write: (index, counts) => `${index % 7 === 3 ? garbage() : `${index % 65_536},${counts}`}\n`,
    });
    const best = bestOf(analysis);
    expect(best).toMatchObject({ countsField: 1, sequence: { field: 0 } });
    // Lines lost to garbage are known from the sequence, so that the rate is still that of the device.
    expect(best.nominalRateHz).toBe(1000);
    expect(analysis.proposals[0]?.readableShare).toBeCloseTo(6 / 7, 2);
  });

  it('reads lines whose endings are mixed', () => {
    const analysis = analysisOf({
      rateHz: 80,
      write: (index, counts) => `${index},${counts}${index % 3 === 0 ? '\n' : '\r\n'}`,
    });
    expect(bestOf(analysis)).toMatchObject({ id: 'sequence-counts', lineEnding: '\r\n' });
    expect(analysis.proposals[0]?.readableShare).toBe(1);
    expect(analysis.proposals[0]?.reasons).toContain('Lines end in more than one way.');
  });

  it('reads lines that end with a carriage return alone', () => {
    const analysis = analysisOf({ rateHz: 80, write: (index, counts) => `${index};${counts}\r` });
    expect(bestOf(analysis)).toMatchObject({ lineEnding: '\r', countsField: 1 });
    expect(analysis.proposals[0]?.readableShare).toBe(1);
  });
});

describe('counters', () => {
  it.each([
    [80, 256],
    [80, 100],
    [1000, 65_536],
    [10_000, 65_536],
    [50, 60],
  ])('at %i lines a second, finds that a sequence starts again at %i from seeing it', (rateHz, modulus) => {
    const startsAt = modulus - Math.round(rateHz * 1.5);
    const listener = listenTo({
      rateHz,
      write: (index, counts) => `${(index + startsAt + 10 * modulus) % modulus},${counts}\n`,
    });
    listener.hear(4);
    const analysis = listener.analyse();
    expect(bestOf(analysis).sequence).toEqual({ field: 0, modulus, numeral: 'decimal' });
    expect(bestOf(analysis).id).toBe('proposal');
    expect(analysis.fields[0]?.reason).toContain(`start again at 0 after ${modulus - 1}`);
  });

  it('remembers a start that was seen long ago', () => {
    const listener = listenTo({
      rateHz: 1000,
      write: (index, counts) => `${(index + 65_000) % 65_536};${counts}\n`,
    });
    listener.hear(8);
    expect(bestOf(listener.analyse()).sequence?.modulus).toBe(65_536);
  });

  it('leaves out a sequence that starts again too soon for the rate, and says so', () => {
    const analysis = analysisOf({ rateHz: 1000, write: (index, counts) => `${index % 256},${counts}\n` });
    const [best] = analysis.proposals;
    expect(best?.profile).toMatchObject({ sequence: null, countsField: 1 });
    expect(best?.reasons.join(' ')).toContain('the modulus must be at least');
  });

  it('assumes the next usual modulus for a counter that had been running, offers the largest too, and says that it assumes', () => {
    const analysis = analysisOf({ rateHz: 80, write: (index, counts) => `${20_000 + index};${counts}\n` });
    expect(analysis.proposals.slice(0, 2).map(({ profile }) => profile.sequence?.modulus)).toEqual([
      65_536,
      2 ** 32,
    ]);
    expect(analysis.fields[0]?.reason).toContain('is assumed');
    for (const { profile, reasons } of analysis.proposals.slice(0, 2)) {
      expect(reasons.join(' ')).toContain(`modulo ${String(profile.sequence?.modulus)} is assumed`);
    }
  });

  it('does not use a sequence that starts again at 1', () => {
    const analysis = analysisOf(
      { rateHz: 100, write: (index, counts) => `${(index % 120) + 1},${counts}\n` },
      5,
    );
    expect(bestOf(analysis).sequence).toBeNull();
    expect(analysis.fields[0]).toMatchObject({ guess: 'unknown' });
    expect(analysis.fields[0]?.reason).toContain('starts again at another number than 0');
  });

  it('recognises the time of the device in microseconds though it jitters', () => {
    const random = createSeededRandom(9, 0);
    const analysis = analysisOf({
      rateHz: 640,
      write: (index, counts) =>
        `${77_000_000 + Math.round(index * 1562.5 + 60 * random.uniform())},${counts}\n`,
    });
    expect(bestOf(analysis)).toMatchObject({ deviceTimeUs: { field: 0, modulus: 2 ** 32 }, countsField: 1 });
    expect(bestOf(analysis).nominalRateHz).toBe(640);
  });

  it('sees the time of the device start again at 2^32', () => {
    const analysis = analysisOf({
      rateHz: 100,
      write: (index, counts) => `${(2 ** 32 - 1_500_000 + index * 10_000) % 2 ** 32};${counts}\n`,
    });
    expect(bestOf(analysis).deviceTimeUs).toEqual({ field: 0, modulus: 2 ** 32, numeral: 'decimal' });
    expect(analysis.fields[0]?.reason).toContain('seen to start again');
  });

  it.each([80, 5000])('explains why a time in milliseconds is not used, at %i lines a second', (rateHz) => {
    const analysis = analysisOf({
      rateHz,
      write: (index, counts) => `${Math.floor((index * 1000) / rateHz)};${counts}\n`,
    });
    expect(bestOf(analysis)).toMatchObject({ deviceTimeUs: null, sequence: null, countsField: 1 });
    expect(analysis.fields[0]?.reason).toContain('milliseconds');
  });
});

describe('which field is the counts', () => {
  const twoChannels = {
    rateHz: 80,
    write: (index: number, counts: number) =>
      `${index},${index > 400 && index < 480 ? 512 + 4000 : 512 + (counts % 3)},${counts}\n`,
  };

  it('takes the noisy signed field before anything was pushed', () => {
    const listener = listenTo(twoChannels);
    listener.hear(4);
    const analysis = listener.analyse();
    expect(bestOf(analysis).countsField).toBe(2);
    expect(analysis.proposals.map(({ profile }) => profile.countsField)).toContain(1);
    expect(guessesOf(analysis)).toEqual(['sequence', 'unknown', 'counts']);
  });

  it('takes the field that moved when the arm was pushed, also after it was let go', () => {
    const listener = listenTo(twoChannels);
    listener.hear(5.8);
    const pushed = listener.analyse();
    expect(bestOf(pushed).countsField).toBe(1);
    const [, field] = pushed.fields;
    expect(field?.spreadNow ?? 0).toBeGreaterThan(100 * (field?.spreadBefore ?? Infinity));
    listener.hear(20);
    expect(bestOf(listener.analyse()).countsField).toBe(1);
    expect(listener.analyse().fields[1]?.reason).toContain('beyond its earlier spread');
  });

  it('tells status flags from counts', () => {
    const analysis = analysisOf({
      rateHz: 80,
      write: (index, counts) => `${index},${counts},${index % 100 < 90 ? 1 : 3}\n`,
    });
    expect(guessesOf(analysis)).toEqual(['sequence', 'counts', 'statusFlags']);
  });

  it('shows text and constants as what they are', () => {
    const analysis = analysisOf({ rateHz: 80, write: (_, counts) => `N,${counts},kg,0\n` });
    expect(guessesOf(analysis)).toEqual(['text', 'counts', 'text', 'constant']);
    expect(bestOf(analysis)).toMatchObject({ countsField: 1, separator: ',' });
  });
});

describe('devices that cannot be read', () => {
  it('proposes nothing for numbers with decimals, and says why', () => {
    const analysis = analysisOf({
      rateHz: 80,
      write: (index, counts) => `${index},${(counts / 10_000).toFixed(3)}\n`,
    });
    expect(analysis.proposals).toEqual([]);
    expect(analysis.problem?.code).toBe('no-raw-counts');
    expect(analysis.problem?.sentence).toContain('not the raw counts');
  });

  it('does not take flags beside numbers with decimals for the counts', () => {
    const analysis = analysisOf({
      rateHz: 80,
      write: (index, counts) => `${(counts / 10_000).toFixed(3)},${index % 100 < 90 ? 1 : 3}\n`,
    });
    expect(analysis.proposals).toEqual([]);
  });

  it('says that nothing varies where the load cell is missing', () => {
    const analysis = analysisOf({ rateHz: 80, write: (index) => `${index},0\n` });
    expect(analysis.proposals).toEqual([]);
    expect(analysis.problem?.code).toBe('nothing-varies');
  });

  it('says that a checksum of another kind is unknown', () => {
    const analysis = analysisOf({
      rateHz: 80,
      write: (index, counts) => `$${index},${counts}*${hex(index * 37 + 11, 2)}\n`,
    });
    expect(analysis.proposals).toEqual([]);
    expect(analysis.problem?.code).toBe('checksum-unknown');
  });

  it('explains counts that are offset by half their range', () => {
    const countsAt = (_: number, noise: number): number => Math.round(300 * noise);
    const analysis = analysisOf({
      rateHz: 80,
      write: (_, counts) => `${hex(0x80_0000 + counts, 6)}\n`,
      countsAt,
    });
    expect(analysis.proposals).toEqual([]);
    expect(analysis.fields[0]?.reason).toContain('offset by half the range');
  });

  it('finds no form in lines that have none', () => {
    const random = createSeededRandom(4, 0);
    const analysis = analysisOf({
      rateHz: 80,
      write: () =>
        `${Array.from({ length: 15 }, () => String.fromCharCode(33 + Math.floor(90 * random.uniform()))).join('')}\n`,
    });
    expect(analysis.proposals).toEqual([]);
    expect(analysis.problem?.code).toBe('no-common-form');
  });
});

describe('the rate of lines', () => {
  it.each([10, 40, 80, 1280, 10_000])('snaps %i lines a second to the usual rate', (rateHz) => {
    expect(
      bestOf(analysisOf({ rateHz: rateHz * 1.01, write: (_, counts) => `${counts}\n` })).nominalRateHz,
    ).toBe(rateHz);
  });

  it('keeps a rate that is near no usual one, to three digits', () => {
    const analysis = analysisOf({ rateHz: 137.3, write: (_, counts) => `${counts}\n` }, 6);
    expect(bestOf(analysis).nominalRateHz).toBeCloseTo(137, -0.5);
    expect(analysis.proposals[0]?.reasons.join(' ')).toContain('near no usual rate');
  });

  it('is not misled by lines that had been waiting in a buffer', () => {
    const listener = listenTo({
      rateHz: 80,
      write: (index, counts) => (index === 0 ? `${quietCounts(0, 0.5)}\n`.repeat(300) : `${counts}\n`),
    });
    listener.hear(3);
    expect(bestOf(listener.analyse()).nominalRateHz).toBe(80);
  });
});
