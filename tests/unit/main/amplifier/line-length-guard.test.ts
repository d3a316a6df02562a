import { ReadlineParser } from '@serialport/parser-readline';
import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { createLineLengthGuard, LONGEST_LINE_BYTES } from '../../../../main/amplifier/line-length-guard.ts';

/** What the parser behind the guard reads, and how often the guard spoke up. */
async function readThrough(
  chunks: readonly Buffer[],
  lineEnding = '\n',
): Promise<{ lines: string[]; overlong: string[] }> {
  const overlong: string[] = [];
  const lines: string[] = [];
  const guard = createLineLengthGuard(lineEnding, (text) => overlong.push(text));
  const parser = new ReadlineParser({ delimiter: lineEnding, encoding: 'latin1' });
  parser.on('data', (line: string) => lines.push(line));
  for (const chunk of chunks) for (const passed of guard.pass(chunk)) parser.write(passed);
  await new Promise((resolve) => {
    parser.once('end', resolve);
    parser.end();
  });
  return { lines, overlong };
}

/** Cuts bytes at the given places. */
function cut(bytes: Buffer, places: readonly number[]): Buffer[] {
  const edges = [0, ...places.map((place) => place % (bytes.length + 1)).sort((a, b) => a - b), bytes.length];
  return edges.slice(1).map((end, index) => bytes.subarray(edges[index], end));
}

describe('the guard before the line parser', () => {
  it('changes nothing about lines of ordinary length, however they are cut', async () => {
    await fc.assert(
      fc.asyncProperty(
        fc.array(fc.string({ unit: fc.constantFrom('0', '1', '-', ','), maxLength: 40 }), { maxLength: 60 }),
        fc.array(fc.nat(3000), { maxLength: 20 }),
        async (lines, places) => {
          const bytes = Buffer.from(lines.map((line) => `${line}\n`).join(''));
          const { overlong, lines: read } = await readThrough(cut(bytes, places));
          expect(overlong).toEqual([]);
          // The parser gives no event for an empty line.
          expect(read).toEqual(lines.filter((line) => line !== ''));
        },
      ),
      { numRuns: 60 },
    );
  });

  it('drops the rest of a line without an end, says so once, and reads the next line whole', async () => {
    const endless = Buffer.alloc(10 * 2 ** 20, 'x');
    const chunks = cut(
      Buffer.concat([Buffer.from('1\n'), endless, Buffer.from('\n2\n3\n')]),
      Array.from({ length: 200 }, (_, index) => index * 52_000),
    );
    const { lines, overlong } = await readThrough(chunks);
    expect(overlong).toHaveLength(1);
    expect([lines[0], ...lines.slice(-2)]).toEqual(['1', '2', '3']);
    for (const line of lines) expect(line.length).toBeLessThanOrEqual(LONGEST_LINE_BYTES);
  });

  it('finds an overlong line in the middle of one large chunk', async () => {
    const { lines, overlong } = await readThrough([
      Buffer.from(`1\n2\n${'y'.repeat(LONGEST_LINE_BYTES + 1)}\n3\n`),
    ]);
    expect(overlong).toHaveLength(1);
    expect(lines).toEqual(['1', '2', '3']);
  });

  it('lets go of the parser also where a line ends in two bytes', async () => {
    const long = 'z'.repeat(LONGEST_LINE_BYTES);
    const { lines, overlong } = await readThrough(
      [Buffer.from('1\r\n'), Buffer.from(long), Buffer.from(long), Buffer.from('\r\n2\r\n')],
      '\r\n',
    );
    expect(overlong).toHaveLength(1);
    expect(lines[0]).toBe('1');
    expect(lines[lines.length - 1]).toBe('2');
  });
});
