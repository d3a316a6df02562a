import { describe, expect, it } from 'vitest';
import {
  createHeardLineSplitter,
  showHeardLine,
  type HeardLine,
} from '../../../../../shared-lib/amplifier/listening/split-heard-lines.ts';

function bytesOf(text: string): Uint8Array {
  return Uint8Array.from(text, (character) => character.charCodeAt(0));
}

/** All bytes in chunks of so many. */
function splitInChunks(text: string, size: number): HeardLine[] {
  const splitter = createHeardLineSplitter();
  const bytes = bytesOf(text);
  const lines: HeardLine[] = [];
  for (let at = 0; at < bytes.length; at += size)
    lines.push(...splitter.push(bytes.subarray(at, at + size), at));
  return lines;
}

describe('splitting what is heard', () => {
  it('passes over what came before the first line end', () => {
    expect(splitInChunks('456\n7,-1\n8,-2\n', 100).map(({ text }) => text)).toEqual(['7,-1', '8,-2']);
  });

  it.each([1, 2, 3, 5, 100])('tells mixed line endings apart, in chunks of %i bytes', (size) => {
    const lines = splitInChunks('x\na\nb\r\nc\rd\r\r\ne\n\rf\r\n', size);
    expect(lines.map(({ text, ending }) => [text, ending])).toEqual([
      ['a', '\n'],
      ['b', '\r\n'],
      ['c', '\r'],
      ['d', '\r'],
      ['e', '\n'],
      ['f', '\r\n'],
    ]);
  });

  it('gives a line that ends with a carriage return the time of that, not of the byte after it', () => {
    const splitter = createHeardLineSplitter();
    splitter.push(bytesOf('x\r12\r'), 1000);
    expect(splitter.push(bytesOf('34'), 2000)).toEqual([
      { text: '12', ending: '\r', arrivalUs: 1000, isCut: false },
    ]);
  });

  it('keeps bytes beyond ASCII as Latin-1 characters', () => {
    expect(splitInChunks('\n12 \u00b5V \u00ff\n', 100)[0]?.text).toBe('12 \u00b5V \u00ff');
  });

  it('cuts a line at 200 characters and says so', () => {
    const [line, next] = splitInChunks(`\n${'7'.repeat(500)}\n1\n`, 64);
    expect(line).toMatchObject({ text: '7'.repeat(200), isCut: true });
    expect(next).toMatchObject({ text: '1', isCut: false });
  });

  it('counts the bytes of a line that never ends without keeping them', () => {
    const splitter = createHeardLineSplitter();
    for (let chunk = 0; chunk < 100; chunk += 1)
      expect(splitter.push(bytesOf('5'.repeat(1000)), chunk)).toEqual([]);
    expect(splitter.unendedBytes).toBe(100_000);
  });

  it('shows what cannot be seen as pictures', () => {
    expect(showHeardLine('\u0000a\tb\u001b\u007f\u0085\u00b5')).toBe('\u2400a\tb\u241b\u2421\ufffd\u00b5');
  });
});
