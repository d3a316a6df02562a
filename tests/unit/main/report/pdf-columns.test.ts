import { describe, expect, it } from 'vitest';
import { columnWidthsPt, fitWords } from '../../../../main/report/pdf-columns.ts';
import { measureTextPx } from '../../../../shared-lib/picture/text-width.ts';

const look = { availablePt: 480, fontSizePt: 7.5 };

function tableOf(labels: string[], rows: string[][]) {
  return {
    kind: 'table' as const,
    caption: '',
    columns: labels.map((label) => ({ label, align: 'start' as const })),
    rows,
  };
}

const sum = (widths: readonly number[]) => widths.reduce((total, width) => total + width, 0);

describe('widths of the columns of a table', () => {
  it('fill the page, whatever stands in them', () => {
    for (const cells of [
      ['a', 'b'],
      ['a'.repeat(80), 'b'],
      ['x '.repeat(400), 'y '.repeat(900)],
      ['', ''],
    ]) {
      expect(sum(columnWidthsPt(tableOf(['A', 'B'], [cells]), look))).toBeCloseTo(480, 6);
    }
  });

  it('hold the longest word of each column, so that no word is cut or runs into the next cell', () => {
    const words = ['Corvane', '1234.5', 'reference'];
    const widths = columnWidthsPt(tableOf(['A', 'B', 'C'], [words]), look);
    words.forEach((word, index) => {
      expect(widths[index]).toBeGreaterThan(measureTextPx(word, { sizePx: 7.5, weight: 600 }));
    });
  });

  it('give the room to those that have the most to say', () => {
    const [short = 0, long = 0] = columnWidthsPt(
      tableOf(['No.', 'Why'], [['1', 'The socket was worn. '.repeat(9)]]),
      look,
    );
    expect(long).toBeGreaterThan(5 * short);
  });

  it('give each a share where even the longest words do not fit', () => {
    const words = Array.from({ length: 30 }, () => 'interpolation');
    const widths = columnWidthsPt(tableOf(words, [words]), look);
    expect(sum(widths)).toBeCloseTo(480, 6);
    expect(Math.min(...widths)).toBeGreaterThan(10);
  });
});

describe('a word that is wider than its column', () => {
  const room = { widthPt: 60, sizePt: 7.5 };
  const widest = (text: string) =>
    Math.max(...text.split('\n').map((line) => measureTextPx(line, { sizePx: 7.5, weight: 600 })));

  it('is broken into lines that fit, and no letter is lost', () => {
    const name = 'W'.repeat(80);
    expect(fitWords(name, room).replaceAll('\n', '')).toBe(name);
    expect(widest(fitWords(name, room))).toBeLessThanOrEqual(60);
  });

  it('is broken at a dash where that is near', () => {
    expect(fitWords('0f3c9a12-77aa-4b11-9f00-1234567890ab', room).split('\n')[0]).toMatch(/-$/);
  });

  it('is left alone where it fits, and so are the spaces', () => {
    expect(fitWords('a plain sentence,\nof two lines', room)).toBe('a plain sentence,\nof two lines');
  });
});
