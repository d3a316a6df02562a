import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { nameLines } from '../../../../shared-lib/charts/name-lines.ts';
import { shortLabels, withCommon } from '../../../../shared-lib/charts/short-labels.ts';
import { measureTextPx, pictureText } from '../../../../shared-lib/picture/text-width.ts';
import type { TextStyle } from '../../../../shared-lib/picture/picture-model.ts';

const type: TextStyle = { sizePx: 20, weight: 600, isProse: true };

describe('names that are too long', () => {
  it('keep what tells them apart', () => {
    const names = [
      'Hollin H5, 5.0 Ah pack, setting 3, long socket',
      'Hollin H5, 8.0 Ah pack, setting 3, long socket',
    ];
    const lines = nameLines(names, type, 220, 1);
    expect(new Set(lines.map((ofName) => ofName.join(' '))).size).toBe(2);
  });

  it('fit into their lines and stay different, whatever they are', () => {
    fc.assert(
      fc.property(
        fc.uniqueArray(fc.string({ unit: 'grapheme', minLength: 1, maxLength: 60 }), {
          minLength: 1,
          maxLength: 12,
          selector: (name) => pictureText(name).trim(),
        }),
        fc.integer({ min: 120, max: 400 }),
        fc.integer({ min: 1, max: 3 }),
        (names, widthPx, mostLines) => {
          const lines = nameLines(names, type, widthPx, mostLines);
          expect(lines).toHaveLength(names.length);
          for (const ofName of lines) {
            expect(ofName.length).toBeLessThanOrEqual(mostLines);
            for (const line of ofName) expect(measureTextPx(line, type)).toBeLessThanOrEqual(widthPx);
          }
          expect(new Set(lines.map((ofName) => ofName.join(' '))).size).toBe(names.length);
        },
      ),
    );
  });
});

describe('what all setups have', () => {
  it('is left out of their names and said once', () => {
    const labels = ['Hollin H5, Pack 5 Ah, 24 mm socket', 'Tarnwick T6, Pack 5 Ah, 24 mm socket'];
    const short = shortLabels(labels);
    expect(labels.map(short.of)).toEqual(['Hollin H5', 'Tarnwick T6']);
    expect(withCommon('n: 3 runs.', short)).toBe('n: 3 runs. All with Pack 5 Ah, 24 mm socket.');
  });

  it('stays where it tells them apart', () => {
    const labels = [
      'Hollin H5, Pack 5 Ah, setting 2',
      'Hollin H5, Pack 8 Ah, setting 2',
      'Hollin H5, Pack 8 Ah, setting 2, reference',
    ];
    const short = shortLabels(labels);
    expect(labels.map(short.of)).toEqual([
      'Hollin H5, Pack 5 Ah',
      'Hollin H5, Pack 8 Ah',
      'Hollin H5, Pack 8 Ah, reference',
    ]);
  });

  it('never makes two names one', () => {
    fc.assert(
      fc.property(
        fc.uniqueArray(
          fc
            .array(fc.constantFrom('a', 'b', 'c', ''), { minLength: 1, maxLength: 5 })
            .map((parts) => parts.join(', ')),
          { minLength: 1, maxLength: 6 },
        ),
        (labels) => {
          const { of } = shortLabels(labels);
          expect(new Set(labels.map(of)).size).toBe(labels.length);
        },
      ),
    );
  });
});
