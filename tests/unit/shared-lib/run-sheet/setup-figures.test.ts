import { describe, expect, it } from 'vitest';
import { distributionFunctions as distributions } from '../../../../shared-lib/calibration/distribution-functions.ts';
import { setupFiguresSchema } from '../../../../shared-lib/run-sheet/session-model.ts';
import {
  numberBlocks,
  passesGate,
  setupFigures,
  type TrialOfSetup,
} from '../../../../shared-lib/run-sheet/setup-figures.ts';
import michelso from '../../../fixtures/reference-values/nist-strd/michelso.json' with { type: 'json' };

const forward = { toolName: 'Hollin H5', kind: 'tighten', direction: 'forward', plannedS: 5 } as const;
const trial = (second: number, change: Partial<TrialOfSetup> = {}): TrialOfSetup => ({
  setupId: 'hollin',
  label: 'Hollin H5, pack 2',
  step: forward,
  role: 'counted',
  verdict: 'good',
  isKept: true,
  isVoided: false,
  sustainedTorqueNm: 400,
  startedAt: `2026-11-20T08:00:${String(second).padStart(2, '0')}.000Z`,
  block: second,
  ...change,
});
const figures = (trials: readonly TrialOfSetup[], gate: Parameters<typeof passesGate>[0] = 'goodAndLook') =>
  setupFigures(trials, gate, distributions);

describe('the quality gate', () => {
  it.each([
    ['goodOnly', ['good']],
    ['goodAndLook', ['good', 'look']],
    ['allKept', ['good', 'look', 'notUsable']],
  ] as const)('%s lets in %j', (gate, letIn) => {
    const verdicts = (['good', 'look', 'notUsable', null] as const).filter((verdict) =>
      passesGate(gate, verdict),
    );
    expect(verdicts).toEqual(letIn);
  });
});

describe('the figures of a setup', () => {
  it('are the certified mean and standard deviation of NIST’s Michelso data', () => {
    const [row] = figures(
      michelso.values.map((value, index) => trial(0, { sustainedTorqueNm: value, block: index })),
    );
    expect(row?.count).toBe(100);
    expect(row?.meanNm).toBeCloseTo(299.8524, 10);
    expect(row?.standardDeviationNm).toBeCloseTo(0.0790105478190518, 12);
    // t of 99 degrees of freedom, 0.025 in the upper tail: 1.9842170 (scipy 1.17.1).
    expect((row?.highNm ?? NaN) - (row?.meanNm ?? NaN)).toBeCloseTo(
      (1.984216951586 * 0.0790105478190518) / 10,
      10,
    );
    expect((row?.meanNm ?? NaN) - (row?.lowNm ?? NaN)).toBeCloseTo(
      (1.984216951586 * 0.0790105478190518) / 10,
      10,
    );
  });

  it('count what the gate lets in and name what it leaves out', () => {
    const trials = [
      trial(1, { sustainedTorqueNm: 400 }),
      trial(2, { sustainedTorqueNm: 410, verdict: 'look' }),
      trial(3, { sustainedTorqueNm: 900, verdict: 'notUsable' }),
    ];
    expect(figures(trials, 'goodOnly')).toMatchObject([{ count: 1, leftOutCount: 2, meanNm: 400 }]);
    expect(figures(trials, 'goodAndLook')).toMatchObject([{ count: 2, leftOutCount: 1, meanNm: 405 }]);
    expect(figures(trials, 'allKept')).toMatchObject([{ count: 3, leftOutCount: 0, meanNm: 570 }]);
  });

  it('leave out conditioning, voided and unfinished pulls, and say how many', () => {
    const trials = [
      trial(1, { role: 'conditioning', sustainedTorqueNm: 1 }),
      trial(2, { isVoided: true, sustainedTorqueNm: 1 }),
      trial(3, { isKept: false, sustainedTorqueNm: 1 }),
      trial(4),
    ];
    expect(figures(trials)).toMatchObject([
      { count: 1, leftOutCount: 0, conditioningCount: 1, voidedCount: 1, meanNm: 400 },
    ]);
  });

  it('have no interval for one trial, and no mean for none', () => {
    expect(figures([trial(1)])).toMatchObject([
      { meanNm: 400, standardDeviationNm: null, lowNm: null, highNm: null },
    ]);
    const [none] = figures([trial(1, { sustainedTorqueNm: null })]);
    expect(none).toMatchObject({ count: 0, leftOutCount: 1, meanNm: null, isOneBlock: false });
    expect(setupFiguresSchema.parse(none)).toEqual(none);
  });

  it('count breakaways without making a mean of what is no result of theirs', () => {
    const step = { ...forward, kind: 'breakaway', preloadNm: 300 } as const;
    expect(figures([trial(1, { step, sustainedTorqueNm: null }), trial(2, { step })])).toMatchObject([
      { count: 2, leftOutCount: 0, meanNm: null, standardDeviationNm: null },
    ]);
  });

  it('stand apart by setup, by step and for the reference pulls, in the order of the first pull', () => {
    const reverse = { ...forward, direction: 'reverse', plannedS: 10 } as const;
    const rows = figures([
      trial(5, { step: reverse }),
      trial(4, { setupId: 'tarnwick', label: 'Tarnwick T6' }),
      trial(1, { role: 'reference' }),
      trial(2),
      trial(6),
    ]);
    expect(rows.map(({ label, step, count }) => [label, step.direction, count])).toEqual([
      ['Hollin H5, pack 2, reference', 'forward', 1],
      ['Hollin H5, pack 2', 'forward', 2],
      ['Tarnwick T6', 'forward', 1],
      ['Hollin H5, pack 2', 'reverse', 1],
    ]);
  });

  it('go by the label where a trial has no setup, and by the newest label where a setup was put right', () => {
    const single = { setupId: null, role: null } as const;
    const rows = figures([
      trial(1, { ...single, label: 'Corvane C8' }),
      trial(2, { ...single, label: 'Brindlow B4' }),
      trial(3, { ...single, label: 'Corvane C8' }),
      trial(4, { label: 'Holin H5' }),
      trial(5, { label: 'Hollin H5' }),
    ]);
    expect(rows.map(({ label, count }) => [label, count])).toEqual([
      ['Corvane C8', 2],
      ['Brindlow B4', 1],
      ['Hollin H5', 2],
    ]);
  });

  it('say when all stand in one unbroken row', () => {
    const inBlocks = (blocks: readonly number[]) =>
      figures(blocks.map((block, index) => trial(index, { block })))[0]?.isOneBlock;
    expect(inBlocks([4, 4, 4])).toBe(true);
    expect(inBlocks([4, 4, 6])).toBe(false);
    expect(inBlocks([4])).toBe(false);
  });
});

describe('unbroken rows', () => {
  it('end where another setup is pulled', () => {
    expect(numberBlocks(['a', 'a', 'b', 'a', null, null])).toEqual([0, 0, 1, 2, 3, 3]);
    expect(numberBlocks([])).toEqual([]);
  });
});
