import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import type { TextStyle } from '../../../../shared-lib/picture/picture-model.ts';
import {
  cutEnd,
  cutMiddle,
  wrapEvenly,
  wrapText,
  wrapToLines,
} from '../../../../shared-lib/picture/text-lines.ts';
import { measureTextPx, pictureText } from '../../../../shared-lib/picture/text-width.ts';

const type: TextStyle = { sizePx: 20, weight: 400, isProse: true };
const words = fc
  .array(fc.string({ minLength: 1, maxLength: 30 }), { maxLength: 20 })
  .map((all) => all.join(' '));
const widths = fc.integer({ min: 40, max: 900 });

describe('a text in lines', () => {
  it('has all its letters, and no line wider than there is room', () => {
    fc.assert(
      fc.property(words, widths, (text, widthPx) => {
        const lines = wrapText(text, type, widthPx);
        expect(lines.join('').replaceAll(' ', '')).toBe(pictureText(text).replaceAll(' ', ''));
        for (const line of lines) expect(measureTextPx(line, type)).toBeLessThanOrEqual(widthPx);
      }),
    );
  });

  it('breaks between words, never between a value and its unit', () => {
    expect(wrapText('held 513.7\u202fN·m for long', type, 110)).toEqual([
      'held',
      '513.7\u2009N·m',
      'for long',
    ]);
  });

  it('ends in an ellipsis where there are too many of them', () => {
    fc.assert(
      fc.property(words, widths, fc.integer({ min: 1, max: 4 }), (text, widthPx, most) => {
        const lines = wrapToLines(text, type, widthPx, most);
        expect(lines.length).toBeLessThanOrEqual(most);
        for (const line of lines) expect(measureTextPx(line, type)).toBeLessThanOrEqual(widthPx);
        if (wrapText(text, type, widthPx).length > most) expect(lines.at(-1)).toMatch(/…$/u);
      }),
    );
  });

  it('has no last line of a single word where all lines can be about equally long', () => {
    const title = 'Sustained torque, tighten forward 10\u202fs of it';
    expect(wrapText(title, type, 393).at(-1)).toBe('it');
    const lines = wrapEvenly(title, type, 393, 2);
    expect(lines).toHaveLength(2);
    expect(lines.at(-1)?.split(' ').length).toBeGreaterThan(2);
  });
});

describe('a text that is too long for its line', () => {
  it('loses its end or its middle, at a word where it can', () => {
    expect(cutEnd('Hollin H5 with the long extension', type, 200)).toBe('Hollin H5 with the…');
    expect(cutMiddle('Brindlow B4 with the long extension', type, 240, 0.5)).toBe('Brindlow B4…extension');
  });

  it('fits, and is left alone where it did', () => {
    fc.assert(
      fc.property(words, widths, fc.double({ min: 0, max: 1, noNaN: true }), (text, widthPx, share) => {
        const cut = cutMiddle(text, type, widthPx, share);
        expect(measureTextPx(cut, type)).toBeLessThanOrEqual(widthPx);
        const whole = pictureText(text).trim();
        if (measureTextPx(whole, type) <= widthPx) expect(cut).toBe(whole);
        else expect(cut).toContain('…');
      }),
    );
  });
});
