import { describe, expect, it } from 'vitest';
import {
  intraclassCorrelation,
  judgeRaterAgreement,
} from '../../../../shared-lib/catalogue/rater-agreement.ts';

// Shrout and Fleiss (1979), table 2, four judges on six targets; data and results from memory.
const shroutFleiss = [
  [9, 2, 5, 8],
  [6, 1, 3, 2],
  [8, 4, 6, 8],
  [7, 1, 2, 6],
  [10, 5, 6, 9],
  [6, 2, 4, 7],
];

const rated = (scores: readonly (readonly number[])[]) =>
  scores.flatMap((row, tool) =>
    row.map((score, rater) => ({ toolId: `tool ${tool}`, rater: `Rater ${rater}`, score })),
  );

describe('the intraclass correlation', () => {
  it('is 0.29 for the published example of six targets and four judges, ICC(2,1)', () => {
    expect(intraclassCorrelation(shroutFleiss)).toBeCloseTo(0.29, 2);
  });

  it('is that of its mean squares, worked out by hand', () => {
    // Targets (1 2), (3 6), (5 4): target means 1.5, 4.5, 4.5, rater means 3 and 4, all 3.5.
    // Squares: targets 2 (4 + 1 + 1) = 12 over 2; raters 3 (0.25 + 0.25) = 1.5 over 1; all 17.5, left 4 over 2.
    const [targets, raters, error] = [12 / 2, 1.5, (17.5 - 12 - 1.5) / 2];
    const byHand = (targets - error) / (targets + error + (2 / 3) * (raters - error));
    expect(
      intraclassCorrelation([
        [1, 2],
        [3, 6],
        [5, 4],
      ]),
    ).toBeCloseTo(byHand, 12);
  });

  it('is 1 where all say the same of each, and falls where one is harsher', () => {
    expect(
      intraclassCorrelation([
        [2, 2],
        [5, 5],
        [9, 9],
      ]),
    ).toBe(1);
    expect(
      intraclassCorrelation([
        [2, 4],
        [5, 7],
        [7, 9],
      ]),
    ).toBeLessThan(0.8);
  });

  it('is not known of one target, one rater, or scores that are all the same', () => {
    expect(intraclassCorrelation([[2, 4]])).toBeNull();
    expect(intraclassCorrelation([[2], [3]])).toBeNull();
    expect(
      intraclassCorrelation([
        [5, 5],
        [5, 5],
        [5, 5],
      ]),
    ).toBeNull();
  });
});

describe('the agreement between raters', () => {
  it('is said with the correlation, the mean difference, and that it is a judgement', () => {
    const agreement = judgeRaterAgreement(rated(shroutFleiss));
    expect(agreement).toMatchObject({ toolCount: 6 });
    expect(agreement.raters).toHaveLength(4);
    expect(agreement.icc).toBeCloseTo(0.29, 2);
    expect(agreement.sentence).toContain('A judgement, not a measurement.');
    expect(agreement.sentence).toContain('0.29');
  });

  it('has the mean absolute difference of two raters', () => {
    const scores = [
      [1, 2, 4],
      [5, 5, 5],
      [6, 8, 9],
    ];
    // By hand: 1, 3, 2; 0, 0, 0; 2, 3, 1.
    expect(judgeRaterAgreement(rated(scores)).meanDifference).toBeCloseTo(12 / 9, 12);
  });

  it('leaves out who has rated too few of the same tools, and names them', () => {
    const all = [
      ...rated([
        [1, 2],
        [5, 5],
        [6, 8],
      ]),
      { toolId: 'tool 0', rater: 'Newcomer', score: 9 },
    ];
    const agreement = judgeRaterAgreement(all);
    expect(agreement).toMatchObject({ raters: ['Rater 0', 'Rater 1'], toolCount: 3 });
    expect(agreement.sentence).toContain('Newcomer');
  });

  it('has no correlation below three tools, and says from when on', () => {
    const agreement = judgeRaterAgreement(
      rated([
        [1, 2],
        [5, 5],
      ]),
    );
    expect(agreement).toMatchObject({ toolCount: 2, icc: null, meanDifference: 0.5 });
    expect(agreement.sentence).toContain('from 3 tools on');
  });

  it('is not known of nobody, of one, or of two without a tool in common', () => {
    expect(judgeRaterAgreement([])).toMatchObject({ raters: [], icc: null, meanDifference: null });
    expect(judgeRaterAgreement(rated([[4], [5]])).sentence).toContain('One rater only');
    const apart = [
      { toolId: 'a', rater: 'Ada', score: 5 },
      { toolId: 'b', rater: 'Ben', score: 5 },
    ];
    expect(judgeRaterAgreement(apart)).toMatchObject({ toolCount: 0, icc: null, meanDifference: null });
  });

  it('takes a rater for the same whatever the case of the name', () => {
    const [first, second] = [
      { toolId: 'a', rater: 'Ada', score: 5 },
      { toolId: 'b', rater: 'ADA', score: 6 },
    ];
    expect(judgeRaterAgreement([first, second]).sentence).toContain('One rater only');
  });
});
