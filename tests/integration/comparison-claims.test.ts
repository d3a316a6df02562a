import { describe, expect, it } from 'vitest';
import type { WritableDatabase } from '../../main/storage/database.ts';
import { insertCalibration } from '../../main/storage/calibration-repository.ts';
import { getTransducer } from '../../main/storage/transducer-repository.ts';
import { saveToolVersion } from '../../main/storage/tool-details-repository.ts';
import type { CalibrationResult } from '../../shared-lib/calibration/result-model.ts';
import type { Claim } from '../../shared-lib/catalogue/catalogue-model.ts';
import { noDetails } from '../../shared-lib/catalogue/tool-entry.ts';
import { claimCheckSchema } from '../../shared-lib/comparison/comparison-model.ts';
import type { Direction } from '../../shared-lib/trial/step-model.ts';
import { at, calibration } from './storage-support/bench-fixture.ts';
import { calibrationResult } from './storage-support/calibration-result.ts';
import { type ToolName, tools } from './storage-support/compared-bench.ts';
import { AFTER_ALL_TRIALS, checkAt } from './storage-support/failed-check.ts';
import { openComparison } from './storage-support/opened-comparison.ts';

const source = 'Data sheet (demo)';

function claim(database: WritableDatabase, name: ToolName, claims: Pick<Claim, 'kind' | 'torqueNm'>[]): void {
  saveToolVersion(
    database,
    {
      tool: tools[name],
      details: {
        ...noDetails,
        claims: claims.map((stated, index) => ({ ...stated, id: `claim-${index}`, source, statedOn: null })),
      },
    },
    { operator: 'Demo operator', at },
  );
}

describe('a fastening claim', () => {
  it('is checked one-sided with the scatter of the runs and what the calibration was entered with', async () => {
    const { bench, database, handlers } = openComparison();
    claim(database, 'hollin', [
      { kind: 'fastening', torqueNm: 298 },
      { kind: 'fastening', torqueNm: 299 },
      { kind: 'fastening', torqueNm: 302 },
    ]);
    for (const sustainedNm of [299, 300, 301]) bench.pull({ tool: 'hollin', sustainedNm });
    const { checks } = await handlers.checkClaims({ toolId: 'tool-hollin' });
    for (const check of checks) expect(claimCheckSchema.parse(check)).toEqual(check);
    expect(checks.map(({ verdict }) => verdict)).toEqual(['reached', 'cannotTell', 'notReached']);
    const [check] = checks;
    expect(check).toMatchObject({
      count: 3,
      meanNm: 300,
      source,
      contender: { label: 'Hollin H5', isSimulated: true },
      step: { kind: 'tighten', direction: 'forward', plannedS: 5 },
    });
    // By hand: s / root 3, half of 0.5 % of 300, Welch-Satterthwaite with 2 and infinitely many degrees of freedom,
    // t_0.95(14.4) = 1.757 from a printed table between 14 (1.761) and 15 (1.753).
    expect(check?.scatterNm).toBeCloseTo(1 / Math.sqrt(3), 9);
    expect(check?.calibrationNm).toBeCloseTo(0.75, 9);
    expect(check?.degreesOfFreedom).toBeCloseTo((1 / 3 + 0.5625) ** 2 / ((1 / 3) ** 2 / 2), 3);
    expect(check?.lowerBoundNm).toBeCloseTo(300 - 1.757 * Math.sqrt(1 / 3 + 0.5625), 2);
    expect(check?.sentence).toContain('dynamic error not included');
    expect(check?.cautions[0]).toContain('Simulated pulls');
  });

  it('of a tool that was pulled by its name alone stays as it is when the tool is archived', async () => {
    const { bench, database, handlers } = openComparison();
    claim(database, 'hollin', [{ kind: 'fastening', torqueNm: 298 }]);
    for (const sustainedNm of [299, 300, 301]) {
      bench.pull({ tool: 'hollin', sustainedNm, isWithoutSetup: true });
    }
    const before = await handlers.checkClaims({ toolId: 'tool-hollin' });
    expect(before.checks).toMatchObject([{ verdict: 'reached', count: 3 }]);
    saveToolVersion(
      database,
      { tool: { ...tools.hollin, isArchived: true } },
      { operator: 'Demo operator', at },
    );
    expect(await handlers.checkClaims({ toolId: 'tool-hollin' })).toEqual(before);
  });

  it('says where a failed check marks its trials', async () => {
    const { bench, database, handlers } = openComparison();
    claim(database, 'hollin', [{ kind: 'fastening', torqueNm: 298 }]);
    for (const sustainedNm of [299, 300, 301]) bench.pull({ tool: 'hollin', sustainedNm });
    checkAt(database, AFTER_ALL_TRIALS, 'failed');
    const { checks } = await handlers.checkClaims({ toolId: 'tool-hollin' });
    expect(checks[0]?.cautions.join(' ')).toContain('3 of 3 trials are suspect');
  });

  it('beyond the greatest torque of the calibration cannot be told', async () => {
    const { bench, database, handlers } = openComparison();
    const reach = calibration().forward?.validToNm ?? 0;
    claim(database, 'hollin', [{ kind: 'fastening', torqueNm: reach }]);
    for (const sustainedNm of [1, 2, 3].map((more) => 1.1 * reach + more)) {
      bench.pull({ tool: 'hollin', sustainedNm });
    }
    const { checks } = await handlers.checkClaims({ toolId: 'tool-hollin' });
    expect(checks[0]?.verdict).toBe('cannotTell');
    expect(checks[0]?.sentence).toContain('the calibration reaches only to');
  });

  it('that is small is told from the mean beside it', async () => {
    const { bench, database, handlers } = openComparison();
    claim(database, 'hollin', [{ kind: 'fastening', torqueNm: 20.3 }]);
    for (const sustainedNm of [20, 20.02, 20.04]) bench.pull({ tool: 'hollin', sustainedNm });
    const { checks } = await handlers.checkClaims({ toolId: 'tool-hollin' });
    expect(checks[0]?.verdict).toBe('notReached');
    expect(checks[0]?.sentence).toMatch(/claimed 20\.30\D/);
    expect(checks[0]?.sentence).toMatch(/20\.02\D/);
  });

  it('goes by the longest forward pulls of the newest session, real ones before simulated', async () => {
    const { bench, database, handlers } = openComparison();
    claim(database, 'hollin', [{ kind: 'fastening', torqueNm: 400 }]);
    bench.session('session-real', '2026-04-03T08:00:00.000Z', true);
    bench.session('session-later', '2026-04-05T08:00:00.000Z');
    const real = { tool: 'hollin', session: 'session-real', isReal: true } as const;
    bench.pull({ ...real, sustainedNm: 500 });
    bench.pull({ ...real, id: 'long-1', sustainedNm: 610, step: { plannedS: 10 } });
    bench.pull({ ...real, id: 'long-2', sustainedNm: 611, step: { plannedS: 10 } });
    bench.pull({ ...real, sustainedNm: 900, step: { direction: 'reverse', plannedS: 15 } });
    bench.pull({ tool: 'hollin', session: 'session-later', sustainedNm: 10 });
    const { checks } = await handlers.checkClaims({ toolId: 'tool-hollin' });
    expect(checks).toMatchObject([{ verdict: 'reached', trialIds: ['long-1', 'long-2'], meanNm: 610.5 }]);
    expect(checks[0]?.cautions.join(' ')).not.toContain('Simulated');
  });

  it('takes the uncertainty of a guided calibration at the mean torque', async () => {
    const { bench, database, handlers } = openComparison();
    insertCalibration(
      database,
      calibration({ id: 'guided', enteredUncertaintyPercent: null }),
      { reason: 'A guided run.' },
      // 0.3 % of 100 N·m, and in proportion above its highest step.
      calibrationResult(0.3),
    );
    claim(database, 'hollin', [{ kind: 'fastening', torqueNm: 100 }]);
    for (const sustainedNm of [299, 301]) {
      bench.pull({ tool: 'hollin', sustainedNm, conditions: { calibrationId: 'guided' } });
    }
    const { checks } = await handlers.checkClaims({ toolId: 'tool-hollin' });
    expect(checks[0]?.calibrationNm).toBeCloseTo(0.45, 9);
  });

  it('cannot be judged by a calibration that states no uncertainty', async () => {
    const { bench, database, handlers } = openComparison();
    insertCalibration(database, calibration({ id: 'bare', enteredUncertaintyPercent: null }), {
      reason: 'Numbers only.',
    });
    claim(database, 'hollin', [{ kind: 'fastening', torqueNm: 100 }]);
    for (const sustainedNm of [299, 301]) {
      bench.pull({ tool: 'hollin', sustainedNm, conditions: { calibrationId: 'bare' } });
    }
    const { checks } = await handlers.checkClaims({ toolId: 'tool-hollin' });
    expect(checks).toMatchObject([{ verdict: 'cannotTell', calibrationNm: null, lowerBoundNm: null }]);
  });

  it('of a tool that was pulled once takes the scatter of the others of the session', async () => {
    const { bench, database, handlers } = openComparison();
    claim(database, 'hollin', [{ kind: 'fastening', torqueNm: 280 }]);
    bench.pull({ tool: 'hollin', sustainedNm: 300 });
    const alone = await handlers.checkClaims({ toolId: 'tool-hollin' });
    expect(alone.checks).toMatchObject([{ verdict: 'cannotTell', count: 1 }]);
    for (const sustainedNm of [200, 201, 202, 203]) bench.pull({ tool: 'tarnwick', sustainedNm });
    const { checks } = await handlers.checkClaims({ toolId: 'tool-hollin' });
    expect(checks).toMatchObject([{ verdict: 'reached', count: 1 }]);
    expect(checks[0]?.scatterNm).toBeCloseTo(300 * (1.291 / 201.5), 1);
  });

  it('without a trial is not checked, and with breakaway trials only is not comparable', async () => {
    const { bench, database, handlers } = openComparison();
    claim(database, 'hollin', [{ kind: 'fastening', torqueNm: 100 }]);
    const checks = async () => (await handlers.checkClaims({ toolId: 'tool-hollin' })).checks;
    expect(await checks()).toMatchObject([{ verdict: 'noTrials', contender: null, count: 0 }]);
    bench.pull({ tool: 'hollin', step: { kind: 'breakaway', direction: 'reverse', preloadNm: 200 } });
    const [check] = await checks();
    expect(check).toMatchObject({ verdict: 'notComparable', step: null, meanNm: null });
    expect(check?.sentence).toContain('a fastening claim is checked with trials of kind tighten only');
  });
});

describe('a breakaway claim', () => {
  it('is reached by a preload that was released, and not by what stayed', async () => {
    const { bench, database, handlers } = openComparison();
    claim(database, 'hollin', [
      { kind: 'breakaway', torqueNm: 480 },
      { kind: 'breakaway', torqueNm: 900 },
    ]);
    const breakaway = (preloadNm: number, releasedAtS: number | null) => {
      bench.pull({
        tool: 'hollin',
        step: { kind: 'breakaway', direction: 'reverse', preloadNm },
        figures: { breakaway: { preloadNm: preloadNm - 1, releasedAtS } },
        conditions: { calibrationId: 'both-ways' },
      });
    };
    insertCalibration(
      database,
      calibration({ id: 'both-ways', reverse: { gainNmPerCount: 0.00025, validToNm: 1000, curve: null } }),
      { reason: 'In both directions.' },
    );
    breakaway(400, 1.2);
    breakaway(500, 2.1);
    breakaway(800, null);
    const { checks } = await handlers.checkClaims({ toolId: 'tool-hollin' });
    expect(checks.map(({ verdict }) => verdict)).toEqual(['reached', 'notReached']);
    expect(checks[0]).toMatchObject({ count: 2, meanNm: 499, step: { kind: 'breakaway' } });
    expect(checks[0]?.trialIds).toHaveLength(3);
    expect(checks[0]?.cautions.join(' ')).toContain('did not release the preload, the lowest 799');
  });
});

describe('a breakaway claim under a calibration whose senses are known unlike well', () => {
  // 0.3 % forward, 1.2 % in reverse.
  const guided: CalibrationResult = {
    ...calibrationResult(0.3),
    senses: [
      ...calibrationResult(0.3).senses,
      ...calibrationResult(1.2).senses.map((sense) => ({ ...sense, sense: 'reverse' as const })),
    ],
  };
  const lowerBoundOf = async (
    direction: Direction,
    senseSign: 1 | -1,
  ): Promise<{ verdict: string | undefined; lowerBoundNm: number }> => {
    const { bench, database, handlers } = openComparison();
    claim(database, 'hollin', [{ kind: 'breakaway', torqueNm: 600 }]);
    insertCalibration(
      database,
      calibration({
        id: 'guided',
        reverse: { gainNmPerCount: 0.00025, validToNm: 1000, curve: null },
        enteredUncertaintyPercent: null,
      }),
      { reason: 'A guided run.' },
      guided,
    );
    bench.pull({
      tool: 'hollin',
      step: { kind: 'breakaway', direction, preloadNm: 600 },
      figures: { breakaway: { preloadNm: 604, releasedAtS: 1 } },
      conditions: {
        calibrationId: 'guided',
        transducer: { ...getTransducer(database, 'transducer-demo'), senseSign },
      },
    });
    const [check] = (await handlers.checkClaims({ toolId: 'tool-hollin' })).checks;
    return { verdict: check?.verdict, lowerBoundNm: check?.lowerBoundNm ?? Number.NaN };
  };

  it('takes the sense that the preload was read in, which stands against the step', async () => {
    // By hand, with z_0.95 = 1.645: 604 (1 - 1.645 * 0.0015) = 602.5 and 604 (1 - 1.645 * 0.006) = 598.0.
    const loosened = await lowerBoundOf('reverse', 1);
    expect(loosened).toEqual({ verdict: 'reached', lowerBoundNm: expect.closeTo(602.51, 2) as number });
    const other = await lowerBoundOf('forward', 1);
    expect(other).toEqual({ verdict: 'cannotTell', lowerBoundNm: expect.closeTo(598.04, 2) as number });
  });

  it('turns the senses round behind a reaction arm', async () => {
    expect((await lowerBoundOf('reverse', -1)).verdict).toBe('cannotTell');
    expect((await lowerBoundOf('forward', -1)).verdict).toBe('reached');
  });
});

describe('claims of a tool', () => {
  it('that has none are none, and a tool that is not there is refused', async () => {
    const { handlers } = openComparison();
    expect(await handlers.checkClaims({ toolId: 'tool-hollin' })).toEqual({ checks: [] });
    expect(() => handlers.checkClaims({ toolId: 'nobody' })).toThrow(
      expect.objectContaining({ code: 'tool-not-found' }),
    );
  });

  it('are checked with the trials of what was merged into it, too', async () => {
    const { bench, database, handlers } = openComparison();
    claim(database, 'hollin', [{ kind: 'fastening', torqueNm: 100 }]);
    for (const sustainedNm of [299, 301]) bench.pull({ tool: 'tarnwick', sustainedNm });
    database
      .prepare(
        `INSERT INTO tool_merge (tool_id, into_tool_id, reason, operator, at)
         VALUES ('tool-tarnwick', 'tool-hollin', 'They are one tool.', '', ?)`,
      )
      .run(at);
    const { checks } = await handlers.checkClaims({ toolId: 'tool-hollin' });
    expect(checks).toMatchObject([{ verdict: 'reached', count: 2, contender: { label: 'Hollin H5' } }]);
  });
});
