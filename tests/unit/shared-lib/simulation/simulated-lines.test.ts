import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { readyMadeProfiles } from '../../../../shared-lib/amplifier/amplifier-profile.ts';
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
    const kinds = ['gap', 'silence', 'garbage', 'badChecksum', 'rail', 'stuck'] as const;
    const trouble = fc.record({
      atS: fc.double({ min: 0, max: 1, noNaN: true }),
      what: fc.record({ kind: fc.constantFrom(...kinds), count: fc.integer({ min: 0, max: 30 }) }),
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
