import { describe, expect, it } from 'vitest';
import {
  describeScore,
  judgeText,
  percent,
  scoreText,
} from '../../../../../shared-lib/amplifier/listening/score-text.ts';
import { createSeededRandom } from '../../../../../shared-lib/simulation/seeded-random.ts';
import { readAtRate } from '../../../../helpers/serial-line-model.ts';

const usualRates = [
  2400, 4800, 9600, 19_200, 38_400, 57_600, 115_200, 230_400, 460_800, 921_600, 1_000_000, 2_000_000,
];

function bytesOf(text: string): Uint8Array {
  return Uint8Array.from(text, (character) => character.charCodeAt(0));
}

function noisyLines(write: (index: number, counts: number) => string): Uint8Array {
  const random = createSeededRandom(5, 0);
  return bytesOf(
    Array.from({ length: 30 }, (_, index) =>
      write(index, Math.round(-123_456 + 300 * (random.uniform() - 0.5))),
    ).join(''),
  );
}

const forms: [string, Uint8Array][] = [
  ['counts', noisyLines((_, counts) => `${counts}\n`)],
  ['sequence, counts', noisyLines((index, counts) => `${1042 + index},${counts}\r\n`)],
  ['hexadecimal', noisyLines((_, counts) => `${(counts & 0xff_ffff).toString(16).toUpperCase()}\n`)],
  ['tabs', noisyLines((index, counts) => `${index}\t0\t${counts}\r`)],
];

describe('scoring what is heard as text', () => {
  it('takes every form of lines at its own rate for text', () => {
    for (const [name, bytes] of forms) expect([name, judgeText(scoreText(bytes))]).toEqual([name, 'text']);
  });

  it.each(forms)('takes lines of %s for no text at any other usual rate', (_name, bytes) => {
    const taken: unknown[] = [];
    for (const writtenBaud of usualRates) {
      for (const readBaud of usualRates) {
        // So close above that a byte is over before the rates drift apart; probing tries the lower one first.
        if (readBaud >= writtenBaud && readBaud < 1.1 * writtenBaud) continue;
        for (const keepsFramingErrors of [true, false]) {
          for (const idleBitsBetweenBytes of [0, 3]) {
            const heard = readAtRate(bytes, writtenBaud, readBaud, {
              keepsFramingErrors,
              idleBitsBetweenBytes,
            });
            // Listening begins anywhere, and stops as soon as there is text.
            for (const piece of [
              heard,
              heard.subarray(7, 27),
              heard.subarray(40, 80),
              heard.subarray(90, 190),
            ]) {
              const verdict = judgeText(scoreText(piece));
              if (verdict === 'text' || (verdict === 'textWithoutLineEnds' && piece === heard)) {
                taken.push({ writtenBaud, readBaud, keepsFramingErrors, idleBitsBetweenBytes, piece });
              }
            }
          }
        }
      }
    }
    expect(taken).toEqual([]);
  });

  it('reads back what was written where both rates are the same', () => {
    const [, bytes] = forms[1] ?? ['', new Uint8Array()];
    const heard = readAtRate(bytes, 9600, 9600, { keepsFramingErrors: false });
    expect([...heard]).toEqual([...bytes]);
  });

  it('says of nothing that nothing was heard', () => {
    const score = scoreText(new Uint8Array());
    expect(judgeText(score)).toBe('nothing');
    expect(describeScore(score)).toBe('Nothing was heard.');
  });

  it('does not call a handful of bytes text yet', () => {
    expect(judgeText(scoreText(bytesOf('12\n13\n')))).toBe('tooLittle');
    expect(judgeText(scoreText(bytesOf('\u00f8\u0000\u00fc')))).toBe('notText');
  });

  it('tells text without line ends from text', () => {
    expect(judgeText(scoreText(bytesOf('-123456 '.repeat(20))))).toBe('textWithoutLineEnds');
  });

  it('names the signs of a wrong rate', () => {
    const bytes = Uint8Array.from({ length: 100 }, (_, index) =>
      index % 4 === 0 ? 0 : index % 4 === 1 ? 0xf8 : 0x41,
    );
    expect(describeScore(scoreText(bytes))).toBe(
      'Not text: 25 % beyond ASCII, 25 % zeros, hardly a line end.',
    );
  });

  it('never rounds a share up to all of it', () => {
    expect([1, 0.9999, 0.5, 0].map(percent)).toEqual(['100 %', '99 %', '50 %', '0 %']);
  });
});
