import { describe, expect, it } from 'vitest';
import {
  budgetShares,
  OTHER_SOURCES,
  sharePicture,
} from '../../../../../shared-lib/calibration/budget-shares.ts';
import { sampleStep, sampleTerm, sampleTerms } from './sample-result.ts';

const sourcesOf = (shares: ReturnType<typeof budgetShares>) =>
  shares.map(({ term, sharePercent }) => [term.source, sharePercent]);

describe('shares of the budget', () => {
  it('are those of u², the largest first', () => {
    // 0.3² and 0.4² of 0.5².
    expect(sourcesOf(budgetShares(sampleTerms, 'calibration'))).toEqual([
      ['repeatability', expect.closeTo(64, 10)],
      ['arm length', expect.closeTo(36, 10)],
    ]);
  });

  it('take in at bench time what the bench adds', () => {
    // 1.2² of 1.3²; 0.25 of 1.69 for the other two.
    expect(sourcesOf(budgetShares(sampleTerms, 'bench'))).toEqual([
      ['drift', expect.closeTo((100 * 1.44) / 1.69, 10)],
      ['repeatability', expect.closeTo((100 * 0.16) / 1.69, 10)],
      ['arm length', expect.closeTo((100 * 0.09) / 1.69, 10)],
    ]);
  });

  it('are none where nothing varies', () => {
    expect(sourcesOf(budgetShares([sampleTerm('resolution', 0)], 'bench'))).toEqual([['resolution', 0]]);
  });
});

describe('picture of the shares', () => {
  const many = Array.from({ length: 9 }, (_, place) => sampleTerm(`source ${place + 1}`, 9 - place));

  it('adds to a hundred percent in every bar, with the small sources as one', () => {
    const picture = sharePicture([sampleStep(1, 100, many), sampleStep(2, 200, many.slice(2))], 'bench');
    expect(picture.sources).toHaveLength(6);
    expect(picture.sources.at(-1)).toBe(OTHER_SOURCES);
    for (const { segments } of picture.bars) {
      expect(segments.map(({ source }) => source)).toEqual(picture.sources);
      expect(segments.reduce((sum, { sharePercent }) => sum + sharePercent, 0)).toBeCloseTo(100, 10);
    }
  });

  it('ranks by what limits over all steps', () => {
    const picture = sharePicture(
      [
        sampleStep(1, 100, [sampleTerm('zero', 3), sampleTerm('arm length', 1)]),
        sampleStep(2, 200, [sampleTerm('zero', 1), sampleTerm('arm length', 2)]),
        sampleStep(3, 400, [sampleTerm('zero', 0), sampleTerm('arm length', 4)]),
      ],
      'calibration',
    );
    expect(picture.sources).toEqual(['arm length', 'zero']);
    expect(picture.bars[0]?.segments.map(({ sharePercent }) => Math.round(sharePercent))).toEqual([10, 90]);
  });

  it('joins terms of the same source', () => {
    const terms = [sampleTerm('resolution', 1), sampleTerm('resolution', 1), sampleTerm('zero', 1)];
    expect(sharePicture([sampleStep(1, 100, terms)], 'bench').bars[0]?.segments).toEqual([
      { source: 'resolution', sharePercent: expect.closeTo(200 / 3, 10) },
      { source: 'zero', sharePercent: expect.closeTo(100 / 3, 10) },
    ]);
  });
});
