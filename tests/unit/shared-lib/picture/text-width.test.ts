import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import type { TextStyle } from '../../../../shared-lib/picture/picture-model.ts';
import { measureTextPx, pictureText, textRuns } from '../../../../shared-lib/picture/text-width.ts';

const em: TextStyle = { sizePx: 2048, weight: 400 };
const styles = fc.record({
  sizePx: fc.integer({ min: 1, max: 300 }),
  weight: fc.constantFrom(400 as const, 600 as const, 700 as const),
  isProse: fc.boolean(),
});

describe('the width of a text', () => {
  // Read from the tables `hmtx` and `GSUB` of the shipped font by fontkit 2.0.4, another reader than the one that made the table.
  it('is the sum of the advances in the font', () => {
    expect(measureTextPx('H', em)).toBe(1522);
    expect(measureTextPx('i', em)).toBe(496);
    expect(measureTextPx('Hi', em)).toBe(1522 + 496);
    expect(measureTextPx('-', em)).toBe(942);
    expect(measureTextPx('\u2009', em)).toBe(372);
    expect(measureTextPx('·', em)).toBe(590);
    expect(measureTextPx('AV', em)).toBe(1413 + measureTextPx('V', em));
  });

  it('gives every figure the same room, but in prose each its own', () => {
    for (const figure of '0123456789') expect(measureTextPx(figure, em)).toBe(1328);
    expect(measureTextPx('1', { ...em, isProse: true })).toBe(833);
    expect(measureTextPx('0', { ...em, isProse: true })).toBe(1292);
  });

  it('grows with the size of the type and with every letter that is added', () => {
    fc.assert(
      fc.property(fc.string(), fc.string(), styles, (one, other, style) => {
        const [first, second] = [pictureText(one), pictureText(other)];
        const both = measureTextPx(first, style) + measureTextPx(second, style);
        expect(measureTextPx(first + second, style)).toBeCloseTo(both, 6);
        expect(measureTextPx(one, { ...style, sizePx: 2 * style.sizePx })).toBeCloseTo(
          2 * measureTextPx(one, style),
          6,
        );
      }),
    );
  });

  it('takes letters that the font lacks for wide ones, and marks over letters for none', () => {
    expect(measureTextPx('工', em)).toBe(2048);
    expect(measureTextPx('e\u0301', em)).toBe(measureTextPx('e', em));
  });
});

describe('the pieces of a text', () => {
  it('are the whole text in its order, each figure for itself', () => {
    fc.assert(
      fc.property(
        fc.string({ unit: fc.constantFrom('a', ' ', '1', '7', '\u202f', 'm', '\u0301') }),
        styles,
        (text, style) => {
          const runs = textRuns(text, style);
          expect(runs.map((run) => run.text).join('')).toBe(pictureText(text));
          const places = runs.map(({ xPx }) => xPx);
          expect(places).toEqual(places.toSorted((one, other) => one - other));
          const widthPx = measureTextPx(text, style);
          for (const { xPx } of runs) expect(xPx).toBeLessThanOrEqual(widthPx);
        },
      ),
    );
  });

  it('put a narrow figure in the middle of its cell', () => {
    expect(textRuns('1 s', em)).toEqual([
      { text: '1', xPx: (1328 - 833) / 2 },
      { text: ' s', xPx: 1328 },
    ]);
    expect(textRuns('1 s', { ...em, isProse: true })).toEqual([{ text: '1 s', xPx: 0 }]);
  });
});

describe('what of a text stands in a picture', () => {
  it('is what the font and XML can hold', () => {
    expect(pictureText('5\u202fs\n and\ta\u0000b\ud800')).toBe('5\u2009s and ab\ufffd');
  });
});
