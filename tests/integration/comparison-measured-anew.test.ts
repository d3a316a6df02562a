import { describe, expect, it } from 'vitest';
import { reachSchema } from '../../shared-lib/comparison/comparison-model.ts';
import { newestFigures } from '../../main/storage/trial-repository.ts';
import { forwardStep, keyOf } from './storage-support/compared-bench.ts';
import { openComparison, type OpenedComparison } from './storage-support/opened-comparison.ts';

/** From onset at one torque to another, on a curve torque (1 - exp(-t / tau)). */
function riseS(risesToNm: number, tauS: number, fromNm: number, toNm: number): number {
  return tauS * Math.log((risesToNm - fromNm) / (risesToNm - toNm));
}

/** Half a sample at 80 Sa/s, and what a window of nine of them bends a curve of a second. */
const TOLERANCE_S = 0.02;

function pullCurves({ bench }: OpenedComparison, onsetLevelsNm: { hollin: number; tarnwick: number }): void {
  for (const tauS of [0.99, 1, 1.01]) {
    for (const tool of ['hollin', 'tarnwick'] as const) {
      bench.pullCurve({
        tool,
        risesToNm: 300,
        tauS,
        conditions: { onsetLevelNm: onsetLevelsNm[tool] },
      });
    }
  }
}

describe('trials that were measured at different onset levels', () => {
  it('are measured anew at the highest of them, so that equal curves have equal times', async () => {
    const opened = openComparison();
    pullCurves(opened, { hollin: 15, tarnwick: 60 });
    const stored = (trialId: string): number | null =>
      newestFigures(opened.database, trialId)?.timeToLevel[0]?.timeS ?? null;
    expect(stored('pull-3')).toBeCloseTo(riseS(300, 1, 15, 100), 1);
    expect(stored('pull-4')).toBeCloseTo(riseS(300, 1, 60, 100), 1);

    const result = await opened.compared({ measure: { figure: 'timeToLevel', levelNm: 100 } });
    for (const { value } of result.trials) {
      expect(Math.abs((value ?? 0) - riseS(300, 1, 60, 100))).toBeLessThan(TOLERANCE_S);
    }
    expect(result.ratio?.ratio).toBeCloseTo(1, 9);
    expect(result.cautions.join(' ')).toContain('measured anew at the highest of them, 60.0\u202fN·m');
    // Nothing of that is stored.
    expect(stored('pull-3')).toBeCloseTo(riseS(300, 1, 15, 100), 1);
  });

  it('stand as they were measured while a trial is under way, which is said', async () => {
    const opened = openComparison();
    pullCurves(opened, { hollin: 15, tarnwick: 60 });
    opened.circumstances.isTrialUnderWay = true;
    const result = await opened.compared({ measure: { figure: 'timeToLevel', levelNm: 100 } });
    expect(result.ratio?.ratio).toBeGreaterThan(1.5);
    expect(result.cautions.join(' ')).toContain('each at its own level');
  });
});

describe('the time to a torque that was not asked for before', () => {
  it('is measured from the raw counts', async () => {
    const opened = openComparison();
    pullCurves(opened, { hollin: 15, tarnwick: 15 });
    const measure = { figure: 'timeToLevel', levelNm: 222 } as const;
    const result = await opened.compared({ measure });
    expect(result.a).toMatchObject({ count: 3, noValueCount: 0 });
    expect(Math.abs((result.a.mean ?? 0) - riseS(300, 1, 15, 222))).toBeLessThan(TOLERANCE_S);
  });

  it('is not known beside a trial under way, and that is no time that was never reached', async () => {
    const opened = openComparison();
    pullCurves(opened, { hollin: 15, tarnwick: 15 });
    opened.circumstances.isTrialUnderWay = true;
    const result = await opened.compared({ measure: { figure: 'timeToLevel', levelNm: 222 } });
    expect(result).toMatchObject({ verdict: 'needsMoreRuns', a: { count: 0, noValueCount: 0 } });
    expect(result.trials[0]?.leftOutBecause).toContain('once the trial under way has ended');
  });
});

describe('who reaches a torque first', () => {
  const asked = {
    step: forwardStep,
    a: keyOf('hollin'),
    b: keyOf('tarnwick'),
    sessionIds: null,
    isForced: false,
  };

  it('is answered from the raw curves at about sixty torques, up to the highest that both reached', async () => {
    const { bench, handlers } = openComparison();
    for (const tauS of [0.49, 0.5, 0.51]) {
      bench.pullCurve({ tool: 'hollin', risesToNm: 300, tauS });
      bench.pullCurve({ tool: 'tarnwick', risesToNm: 400, tauS: 2.4 * tauS });
    }
    const { result } = await handlers.compareReach(asked);
    expect(reachSchema.parse(result)).toEqual(result);
    const levels = result?.levels ?? [];
    expect(levels.length).toBeGreaterThan(45);
    expect(levels.length).toBeLessThan(75);
    expect(levels[0]?.levelNm).toBeGreaterThan(15);
    expect(levels.at(-1)?.levelNm).toBeLessThanOrEqual(300);
    expect(result).toMatchObject({ aCount: 3, bCount: 3 });
    const at = levels.find(({ levelNm }) => levelNm === 150);
    expect(Math.abs((at?.aMeanS ?? 0) - riseS(300, 0.5, 15, 150))).toBeLessThan(TOLERANCE_S);
    expect(Math.abs((at?.bMeanS ?? 0) - riseS(400, 1.2, 15, 150))).toBeLessThan(TOLERANCE_S);
    expect(at).toMatchObject({ aReached: 3, bReached: 3, first: 'a' });
  });

  it('is refused beside a trial under way', async () => {
    const opened = openComparison();
    pullCurves(opened, { hollin: 15, tarnwick: 15 });
    opened.circumstances.isTrialUnderWay = true;
    await expect(Promise.resolve(opened.handlers.compareReach(asked))).rejects.toMatchObject({
      code: 'invalid-state',
      message: expect.stringContaining('Nothing was computed') as string,
    });
  });

  it('is not asked of a breakaway, nor of runs that held nothing', async () => {
    const { bench, handlers } = openComparison();
    bench.pull({ tool: 'hollin' });
    bench.pull({ tool: 'tarnwick', figures: { sustainedTorqueNm: { refused: 'No onset was found.' } } });
    expect((await handlers.compareReach(asked)).notComparable?.reasons).toEqual([
      'No run of Tarnwick T6 by tighten forward 5\u202fs held a torque.',
    ]);
    const step = { kind: 'breakaway', direction: 'reverse', plannedS: 5 } as const;
    for (const tool of ['hollin', 'tarnwick'] as const) bench.pull({ tool, step });
    expect((await handlers.compareReach({ ...asked, step })).notComparable?.reasons).toEqual([
      expect.stringContaining('no time to a torque'),
    ]);
  });
});
