import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import {
  readyMadeProfiles,
  type AmplifierProfile,
} from '../../../../shared-lib/amplifier/amplifier-profile.ts';
import { createLineDecoder } from '../../../../shared-lib/amplifier/decode-amplifier-line.ts';
import { xorChecksum } from '../../../../shared-lib/amplifier/format-amplifier-line.ts';
import { AppError } from '../../../../shared-lib/app-error.ts';
import type {
  Misbehaviour,
  SimulatedBenchOptions,
} from '../../../../shared-lib/simulation/simulated-bench.ts';
import {
  createSimulatedLines,
  type SimulatedLine,
} from '../../../../shared-lib/simulation/simulated-lines.ts';

const [countsOnly, , checksummed] = readyMadeProfiles;
if (!countsOnly || !checksummed) throw new Error('The ready-made profiles are missing.');

const options: SimulatedBenchOptions = { seed: 9, sampleRateHz: 100 };

const linesWith = (...misbehaviours: { atS: number; what: Misbehaviour }[]): SimulatedLine[] =>
  createSimulatedLines({ ...options, misbehaviours }, checksummed).nextLines(100);

/** Indexes of the lines that differ from those of an amplifier without fault. */
function disturbed(lines: readonly SimulatedLine[]): number[] {
  const sound = linesWith();
  return lines.flatMap((line, index) => (line.text === sound[index]?.text ? [] : [index]));
}

const range = (from: number, to: number) => Array.from({ length: to - from }, (_, index) => from + index);

describe('the lines of a simulated amplifier', () => {
  it('number the samples and give the time of each on the device', () => {
    const lines = linesWith();
    expect(lines.slice(0, 3).map(({ sequence, timeUs }) => [sequence, timeUs])).toEqual([
      [0, 0],
      [1, 10_000],
      [2, 20_000],
    ]);
    for (const { sequence, timeUs, counts, text } of lines) {
      const body = `${sequence},${timeUs},${counts}`;
      expect(text).toBe(`$${body}*${xorChecksum(body)}\n`);
    }
  });

  it('are the same however they are chunked, with everything that goes wrong', () => {
    const kinds = [
      'gap',
      'silence',
      'garbage',
      'badChecksum',
      'rail',
      'stuck',
      'duplicate',
      'beyondRails',
    ] as const;
    const count = fc.integer({ min: 0, max: 30 });
    const trouble = fc.record({
      atS: fc.double({ min: 0, max: 1, noNaN: true }),
      what: fc.oneof(
        fc.record({ kind: fc.constantFrom(...kinds), count }),
        fc.record({ kind: fc.constant('reset' as const) }),
        fc.record({ kind: fc.constant('backwards' as const), by: fc.integer({ min: 1, max: 30 }) }),
        fc.record({ kind: fc.constant('clockJump' as const), byMs: fc.integer({ min: -500, max: 500 }) }),
      ),
    });
    fc.assert(
      fc.property(
        fc.array(trouble, { maxLength: 5 }),
        fc.array(fc.integer({ min: 0, max: 40 }), { minLength: 1, maxLength: 6 }),
        (misbehaviours, chunks) => {
          const chunked = createSimulatedLines({ ...options, misbehaviours }, checksummed);
          const whole = createSimulatedLines({ ...options, misbehaviours }, checksummed);
          const lines = chunks.flatMap((chunk) => chunked.nextLines(chunk));
          expect(lines).toEqual(whole.nextLines(lines.length));
        },
      ),
    );
  });

  it.each(['gap', 'silence'] as const)('stay away during a %s while the numbers go on', (kind) => {
    const lines = linesWith({ atS: 0.2, what: { kind, count: 5 } });
    expect(disturbed(lines)).toEqual(range(20, 25));
    expect(lines.slice(20, 25).map(({ text }) => text)).toEqual(['', '', '', '', '']);
    expect(lines[25]?.text.startsWith('$25,250000,')).toBe(true);
  });

  it('give way to as many bytes of garbage', () => {
    const lines = linesWith({ atS: 0.2, what: { kind: 'garbage', durationS: 0.1 } });
    const sound = linesWith();
    expect(disturbed(lines)).toEqual(range(20, 30));
    for (const index of range(20, 30)) {
      expect(lines[index]?.text.length).toBe(sound[index]?.text.length);
      expect(lines[index]?.isIntact).toBe(false);
    }
  });

  it('carry a checksum that refutes them after a bad checksum', () => {
    const lines = linesWith({ atS: 0.5, what: { kind: 'badChecksum', count: 2 } });
    expect(disturbed(lines)).toEqual([50, 51]);
    for (const { text } of lines.slice(50, 52)) {
      const [body = '', checksum = ''] = text.slice(1, -1).split('*');
      expect(body).toMatch(/^\d+,\d+,-?\d+$/);
      expect(xorChecksum(body)).not.toBe(checksum);
    }
  });

  it('carry the rail, or the same count again, with a checksum that is right', () => {
    const railed = linesWith({ atS: 0.3, what: { kind: 'rail', count: 4 } });
    expect(disturbed(railed)).toEqual(range(30, 34));
    expect(railed.slice(30, 34).map(({ counts }) => counts)).toEqual(Array(4).fill(8_388_607));

    const stuck = linesWith({ atS: 0.3, what: { kind: 'stuck', count: 60 } });
    expect(stuck.slice(30, 90).map(({ counts }) => counts)).toEqual(Array(60).fill(stuck[29]?.counts));
    expect(new Set(stuck.slice(90).map(({ counts }) => counts)).size).toBeGreaterThan(5);
    for (const { text } of [...railed, ...stuck]) {
      const [body = '', checksum = ''] = text.slice(1, -1).split('*');
      expect(xorChecksum(body)).toBe(checksum);
    }
  });

  it('come twice, the one like the other, during a duplicate', () => {
    const lines = linesWith({ atS: 0.2, what: { kind: 'duplicate', count: 3 } });
    const sound = linesWith();
    expect(disturbed(lines)).toEqual([20, 21, 22]);
    for (const index of [20, 21, 22]) {
      expect(lines[index]?.text).toBe(`${sound[index]?.text}${sound[index]?.text}`);
      expect(lines[index]?.isIntact).toBe(true);
    }
  });

  it('carry the count above the upper rail, with a checksum that is right, beyond the rails', () => {
    const lines = linesWith({ atS: 0.2, what: { kind: 'beyondRails', count: 2 } });
    expect(disturbed(lines)).toEqual([20, 21]);
    const into = { counts: 0, sequence: 0, timeUs: 0, flags: 0 };
    expect(createLineDecoder(checksummed)(lines[20]?.text ?? '', into)).toBe('beyondRails');
    expect(into).toMatchObject({ counts: 8_388_608, sequence: 20, timeUs: 200_000 });
    expect(lines[20]?.isIntact).toBe(false);
  });

  const countersOf = (lines: readonly SimulatedLine[], from: number, to: number) =>
    lines.slice(from, to).map(({ text }) => text.slice(1).split(',').slice(0, 2).map(Number));

  it('begin their sequence and their time at 0 again after a reset, and the counts go on', () => {
    const lines = linesWith({ atS: 0.5, what: { kind: 'reset' } });
    expect(countersOf(lines, 49, 52)).toEqual([
      [49, 490_000],
      [0, 0],
      [1, 10_000],
    ]);
    expect(lines.map(({ counts }) => counts)).toEqual(linesWith().map(({ counts }) => counts));
  });

  it('step back in their sequence once, through its modulus where need be', () => {
    const lines = linesWith({ atS: 0.5, what: { kind: 'backwards', by: 7 } });
    expect(countersOf(lines, 49, 52)).toEqual([
      [49, 490_000],
      [43, 500_000],
      [44, 510_000],
    ]);
    const early = linesWith({ atS: 0.02, what: { kind: 'backwards', by: 5 } });
    expect(countersOf(early, 1, 4).map(([sequence]) => sequence)).toEqual([1, 4_294_967_293, 4_294_967_294]);
  });

  it.each([
    [250, 750_000],
    [-120, 380_000],
  ])('have a device time that jumps by %d ms, and a sequence that does not', (byMs, timeUs) => {
    const lines = linesWith({ atS: 0.5, what: { kind: 'clockJump', byMs } });
    expect(countersOf(lines, 49, 52)).toEqual([
      [49, 490_000],
      [50, timeUs],
      [51, timeUs + 10_000],
    ]);
  });

  it('carry every flag that is set while it is set', () => {
    const flagged: AmplifierProfile = {
      ...checksummed,
      statusFlags: { field: 3, numeral: 'hex', bits: [{ bit: 4, meaning: 'supply low', isFault: true }] },
    };
    const lines = createSimulatedLines(
      {
        ...options,
        misbehaviours: [
          { atS: 0.2, what: { kind: 'flag', bit: 4, count: 3 } },
          { atS: 0.21, what: { kind: 'flag', bit: 31, durationS: 0.01 } },
        ],
      },
      flagged,
    ).nextLines(30);
    const flagsIn = lines.map(({ text }) => text.split(',')[3]?.split('*')[0]);
    expect(flagsIn.slice(18, 25)).toEqual(['00', '00', '10', '80000010', '10', '00', '00']);
    expect(lines.every(({ isIntact }) => isIntact)).toBe(true);
  });

  it.each([
    ['\n', ['\n', '\r\n', '\n', '\r\n']],
    ['\r\n', ['\n', '\r\n', '\n', '\r\n']],
    ['\r', ['\r', '\r\n', '\r', '\r\n']],
  ] as const)(
    'of a profile with %j end in both ways by turns where endings are mixed',
    (lineEnding, endings) => {
      const lines = createSimulatedLines(
        { ...options, lineEndings: 'mixed' },
        { ...countsOnly, lineEnding },
      ).nextLines(4);
      expect(lines.map(({ text }) => text.replace(/^-?\d+/, ''))).toEqual(endings);
    },
  );

  it('follow the clock of the amplifier: a device time that errs with the rate, and shows its steps', () => {
    const wrong = { rateErrorPpm: 5000, rateSteps: [{ atS: 0.5, factor: 2 }] };
    const lines = createSimulatedLines({ ...options, clock: wrong }, checksummed);
    const written = lines.nextLines(101);
    // By hand: 50 periods of 10 ms, then 51 of 5 ms, on an oscillator that cannot see its own error.
    expect(written[50]?.timeUs).toBe(500_000);
    expect(written[100]?.timeUs).toBe(750_000);
    // The world's clock gives the sampling of 101 samples (50 x 10 ms + 51 x 5 ms) 5000 ppm less time.
    expect(lines.bench.elapsedS).toBeCloseTo(0.755 / 1.005, 12);
  });

  it.each([
    ['backwards', { kind: 'backwards', by: 3 }],
    ['clockJump', { kind: 'clockJump', byMs: 100 }],
    ['reset', { kind: 'reset' }],
    ['flag', { kind: 'flag', bit: 2, count: 1 }],
  ] as const)('cannot show %s where the profile carries nothing of the kind', (_, what) => {
    const lines = createSimulatedLines(options, countsOnly);
    expect(() => {
      lines.misbehave(what);
    }).toThrow(/Choose a profile/);
  });

  it('have no room beyond the rails where hexadecimal counts are as wide as the converter', () => {
    const hex: AmplifierProfile = { ...countsOnly, countsForm: { numeral: 'hex', bits: 24 } };
    const what: Misbehaviour = { kind: 'beyondRails', count: 1 };
    expect(() => {
      createSimulatedLines(options, hex).misbehave(what);
    }).toThrow(/no room/);
    const wider = createSimulatedLines(options, { ...hex, countsForm: { numeral: 'hex', bits: 32 } });
    wider.misbehave(what);
    expect(wider.nextLines(1)[0]?.text).toBe('00800000\n');
  });

  it('end when the amplifier is unplugged', () => {
    const lines = createSimulatedLines(
      { ...options, misbehaviours: [{ atS: 0.4, what: { kind: 'unplug' } }] },
      checksummed,
    );
    expect(lines.nextLines(100)).toHaveLength(40);
    expect(lines.isUnplugged).toBe(true);
    expect(lines.nextLines(10)).toEqual([]);
  });

  it('go wrong on request from the next sample on', () => {
    const lines = createSimulatedLines(options, countsOnly);
    lines.nextLines(10);
    lines.misbehave({ kind: 'gap', count: 2 });
    expect(lines.nextLines(4).map(({ text }) => text === '')).toEqual([true, true, false, false]);
    lines.misbehave({ kind: 'unplug' });
    expect(lines.nextLines(4)).toEqual([]);
  });

  it('cannot have a bad checksum where the profile has none', () => {
    const what = { kind: 'badChecksum', count: 1 } as const;
    expect(() => {
      createSimulatedLines(options, countsOnly).misbehave(what);
    }).toThrow(AppError);
    expect(() => createSimulatedLines({ ...options, misbehaviours: [{ atS: 1, what }] }, countsOnly)).toThrow(
      AppError,
    );
  });

  it('have the rails of the converter that the profile names', () => {
    const lines = createSimulatedLines(options, { ...checksummed, converterBits: 20 });
    lines.misbehave({ kind: 'rail', count: 1 });
    expect(lines.nextLines(1)[0]?.counts).toBe(524_287);
  });
});
