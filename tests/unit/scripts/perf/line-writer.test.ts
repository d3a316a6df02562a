import { describe, expect, it } from 'vitest';
import { createLineWriter } from '../../../../scripts/perf/line-writer.ts';

const RATE_HZ = 1000;

interface Line {
  readonly sequence: number;
  readonly timeUs: number;
  readonly counts: number;
}

/** Read by an expression of its own; the checksum is that of NMEA 0183, the exclusive or between `$` and `*`. */
function readLines(bytes: Uint8Array): Line[] {
  return Buffer.from(bytes)
    .toString('latin1')
    .split('\n')
    .slice(0, -1)
    .map((line) => {
      const found = /^\$((\d+),(\d+),(-?\d+))\*([0-9A-F]{2})$/.exec(line);
      if (!found) throw new Error(`Not a line: ${line}`);
      const [, body = '', sequence, timeUs, counts, checksum] = found;
      const expected = Buffer.from(body, 'latin1').reduce((folded, byte) => folded ^ byte, 0);
      expect(Number.parseInt(checksum ?? '', 16)).toBe(expected);
      return { sequence: Number(sequence), timeUs: Number(timeUs), counts: Number(counts) };
    });
}

describe('createLineWriter', () => {
  it('numbers its lines without a hole from call to call, with their times and right checksums', () => {
    const writer = createLineWriter(RATE_HZ);
    const lines = [1, 9, 90, 900, 50].flatMap((count) => readLines(writer.render(count)));
    expect(lines.map(({ sequence }) => sequence)).toEqual(Array.from({ length: 1050 }, (_, index) => index));
    expect(lines.map(({ timeUs }) => timeUs)).toEqual(lines.map(({ sequence }) => sequence * 1000));
  });

  it('lies at rest with noise, follows a load up and down, and comes back to rest', () => {
    const writer = createLineWriter(RATE_HZ);
    const meanOf = (lines: readonly Line[]): number =>
      lines.reduce((sum, { counts }) => sum + counts, 0) / lines.length;
    const rest = readLines(writer.render(500));
    expect(new Set(rest.map(({ counts }) => counts)).size).toBeGreaterThan(100);
    writer.load(900, 2);
    const loaded = readLines(writer.render(2000)).slice(500);
    // 900 N·m are 3 600 000 counts at 1500 N·m for 6 000 000; the load falls back to 90 % and rises with each blow.
    expect(meanOf(loaded) - meanOf(rest)).toBeCloseTo(0.95 * 3_600_000, -5);
    expect(Math.max(...loaded.map(({ counts }) => counts))).toBeLessThan(2 ** 23);
    expect(Math.abs(meanOf(readLines(writer.render(500))) - meanOf(rest))).toBeLessThan(20);
  });

  it('writes negative counts too', () => {
    const writer = createLineWriter(RATE_HZ);
    writer.load(-900, 1);
    expect(Math.min(...readLines(writer.render(900)).map(({ counts }) => counts))).toBeLessThan(-3_000_000);
  });
});
