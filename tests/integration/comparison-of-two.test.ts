import { describe, expect, it } from 'vitest';
import { decideSuspects } from '../../main/storage/suspicion-repository.ts';
import { recordDecision } from '../../main/storage/trial-repository.ts';
import { readyMadeProfiles } from '../../shared-lib/amplifier/amplifier-profile.ts';
import { comparisonSchema } from '../../shared-lib/comparison/comparison-model.ts';
import { decision, figures } from './storage-support/bench-fixture.ts';
import { keyOf, type Pull } from './storage-support/compared-bench.ts';
import { AFTER_ALL_TRIALS, checkAt } from './storage-support/failed-check.ts';
import { markOf } from './storage-support/mark-of.ts';
import { openComparison, type OpenedComparison } from './storage-support/opened-comparison.ts';

/** Rounds of both, Hollin about a tenth stronger, in alternating order. */
function pullRounds(
  { bench }: OpenedComparison,
  rounds: number,
  changes: Partial<Pull> = {},
  ratio = 1.1,
): void {
  for (let round = 1; round <= rounds; round += 1) {
    const tarnwickNm = 300 + 2 * (round % 3);
    const pulls: Pull[] = [
      { tool: 'hollin', sustainedNm: ratio * tarnwickNm + (round % 2), round, ...changes },
      { tool: 'tarnwick', sustainedNm: tarnwickNm, round, ...changes },
    ];
    for (const pull of round % 2 === 0 ? pulls.toReversed() : pulls) bench.pull(pull);
  }
}

const profileAt = (nominalRateHz: number) => {
  const [profile] = readyMadeProfiles;
  if (profile === undefined) throw new Error('There is no ready-made profile');
  return { ...profile, nominalRateHz };
};

describe('two setups that were pulled in rounds of one session', () => {
  it('are compared by their complete rounds, with all that the answer rests on', async () => {
    const opened = openComparison();
    opened.bench.sheet('sheet-1', 3);
    pullRounds(opened, 3);
    const result = await opened.compared();
    expect(comparisonSchema.parse(result)).toEqual(result);
    expect(result).toMatchObject({
      verdict: 'aheadByMargin',
      isProvisional: false,
      better: 'more',
      marginPercent: 5,
      gate: 'goodOnly',
      confidence: 0.95,
      isLikeForLike: true,
      isAcrossSessions: false,
      scatter: { way: 'rounds', degreesOfFreedom: 2 },
      a: { count: 3, doneRounds: 3, plannedRounds: 3, contender: { label: 'Hollin H5', isSimulated: true } },
      b: { count: 3, doneRounds: 3, plannedRounds: 3, contender: { label: 'Tarnwick T6' } },
    });
    expect(result.ratio?.ratio).toBeCloseTo(1.1, 2);
    expect(result.sentence).toContain('Hollin H5');
    expect(result.trials.map(({ startedAt }) => startedAt)).toEqual(
      result.trials.map(({ startedAt }) => startedAt).toSorted(),
    );
  });

  it('say that the answer is provisional as long as the plan has rounds left', async () => {
    const opened = openComparison();
    opened.bench.sheet('sheet-1', 5);
    pullRounds(opened, 3);
    expect(await opened.compared()).toMatchObject({
      isProvisional: true,
      a: { doneRounds: 3, plannedRounds: 5 },
    });
  });

  it('are compared by all rounds of a run sheet that was finished on another day, and are not provisional then', async () => {
    const opened = openComparison();
    const { bench } = opened;
    bench.sheet('sheet-1', 5);
    pullRounds(opened, 3, { sheet: 'sheet-1' });
    expect((await opened.compared()).isProvisional).toBe(true);
    bench.session('session-day-2', '2026-04-02T08:00:00.000Z');
    for (const round of [4, 5]) {
      const place = { session: 'session-day-2', sheet: 'sheet-1', round };
      bench.pull({ tool: 'hollin', sustainedNm: 331 + round, ...place });
      bench.pull({ tool: 'tarnwick', sustainedNm: 301 + (round % 2), ...place });
    }
    const result = await opened.compared();
    expect(result).toMatchObject({
      isProvisional: false,
      // Each round lies within a day.
      scatter: { way: 'rounds', degreesOfFreedom: 4 },
      a: { count: 5, doneRounds: 5, plannedRounds: 5 },
      b: { count: 5, doneRounds: 5, plannedRounds: 5 },
    });
    expect(result.cautions.join(' ')).not.toContain('day-to-day scatter unknown');
  });

  it('take the rounds of a second sheet for others than those of the first', async () => {
    const opened = openComparison();
    opened.bench.sheet('sheet-1', 2);
    opened.bench.sheet('sheet-2', 2);
    pullRounds(opened, 2);
    pullRounds(opened, 2, { sheet: 'sheet-2' });
    const result = await opened.compared();
    expect(result).toMatchObject({
      isProvisional: false,
      a: { doneRounds: 4, plannedRounds: 4 },
      scatter: { way: 'rounds', degreesOfFreedom: 3 },
    });
    // Shown as each sheet has it.
    expect(new Set(result.trials.map(({ round }) => round))).toEqual(new Set([1, 2]));
  });

  it('bring in the third setup of the session for the scatter, and name it', async () => {
    const opened = openComparison();
    opened.bench.sheet('sheet-1', 3);
    for (const round of [1, 2, 3]) {
      opened.bench.pull({ tool: 'brindlow', sustainedNm: 250 + round, round });
      opened.bench.pull({ tool: 'hollin', sustainedNm: 330 + (round % 2), round });
      opened.bench.pull({ tool: 'tarnwick', sustainedNm: 300 + (round % 3), round });
    }
    const result = await opened.compared();
    expect(result).toMatchObject({
      scatter: { way: 'rounds', degreesOfFreedom: 4, contenderCount: 3 },
      others: [{ label: 'Brindlow B4' }],
    });
    expect(result.trials).toHaveLength(9);
  });

  it('list what does not count with its reason, and show no value that was never kept', async () => {
    const opened = openComparison();
    const { bench, database } = opened;
    pullRounds(opened, 3);
    bench.pull({ tool: 'hollin', id: 'voided', sustainedNm: 1 });
    recordDecision(database, 'voided', decision('voided'));
    bench.pull({ tool: 'hollin', id: 'undecided', sustainedNm: 2, state: 'reviewing' });
    bench.pull({ tool: 'hollin', id: 'cut', state: 'interrupted' });
    bench.pull({ tool: 'hollin', id: 'look', sustainedNm: 3, verdict: 'look' });
    bench.pull({ tool: 'tarnwick', id: 'warm', sustainedNm: 4, role: 'conditioning', round: 0 });
    const result = await opened.compared();
    expect(result.trials.filter(({ leftOutBecause }) => leftOutBecause !== null)).toMatchObject([
      { trialId: 'voided', value: 1, leftOutBecause: 'voided' },
      { trialId: 'undecided', value: null, leftOutBecause: 'not decided yet' },
      { trialId: 'look', value: 3, leftOutBecause: 'kept out by its quality' },
      { trialId: 'warm', value: 4, leftOutBecause: 'a conditioning pull, declared as not counted' },
    ]);
    expect(result.a.count).toBe(3);

    opened.circumstances.gate = 'goodAndLook';
    expect((await opened.compared()).a.count).toBe(4);
  });

  it('turn better and worse where a short time is good', async () => {
    const opened = openComparison();
    opened.bench.sheet('sheet-1', 3);
    for (const round of [1, 2, 3]) {
      const quick = { value: 1 + 0.01 * round };
      opened.bench.pull({ tool: 'hollin', figures: { timeTo90PercentS: quick }, round });
      opened.bench.pull({ tool: 'tarnwick', figures: { timeTo90PercentS: { value: 1.5 } }, round });
    }
    const result = await opened.compared({ measure: { figure: 'timeTo90Percent' } });
    expect(result).toMatchObject({ better: 'less', verdict: 'aheadByMargin' });
    expect(result.ratio?.ratio).toBeLessThan(1);
  });

  it('have intervals at the instants within the planned time, and from where on one leads', async () => {
    const opened = openComparison();
    opened.bench.sheet('sheet-1', 4);
    for (const round of [1, 2, 3, 4]) {
      const torqueAt = (factor: number) =>
        [1, 2, 3, 5].map((atS) => ({
          atS,
          torqueNm: { value: (atS === 1 ? 100 : 100 * factor) + 0.1 * atS + 0.2 * (round % 2) },
        }));
      opened.bench.pull({ tool: 'hollin', figures: { torqueAt: torqueAt(1.5) }, round });
      opened.bench.pull({ tool: 'tarnwick', figures: { torqueAt: torqueAt(1 + 0.001 * round) }, round });
    }
    const result = await opened.compared();
    expect(result.checkpoints.map(({ atS }) => atS)).toEqual([1, 2, 3, 5]);
    expect(result.leadStartsAtS).toBe(2);
  });

  it('show how the reference tool drifted in the session', async () => {
    const opened = openComparison();
    opened.bench.sheet('sheet-1', 3);
    for (const round of [1, 2, 3]) {
      opened.bench.pull({ tool: 'brindlow', sustainedNm: 200 - round, role: 'reference', round });
      pullRounds(opened, 1, { round });
    }
    const { referenceDrift } = await opened.compared();
    expect(referenceDrift).toMatchObject([
      { sessionId: 'session-day-1', drift: { pointCount: 3, isFlagged: true } },
    ]);
    expect(referenceDrift[0]?.drift.perHour).toBeLessThan(0);
  });
});

describe('the margin of a comparison', () => {
  it('is the one that was fixed before the session began, not one that was chosen afterwards', async () => {
    const opened = openComparison();
    const { bench, circumstances, handlers } = opened;
    expect(await handlers.listMargins({})).toEqual({ defaultPercent: 5, margins: [] });
    circumstances.now = '2026-03-31T00:00:00.000Z';
    await handlers.setMargin({ figure: 'sustainedTorque', marginPercent: 3 });
    await handlers.setMargin({ figure: 'finalTorque', marginPercent: 20 });
    pullRounds(opened, 3);
    circumstances.now = '2026-04-01T12:00:00.000Z';
    await handlers.setMargin({ figure: 'sustainedTorque', marginPercent: 12 });
    expect((await opened.compared()).marginPercent).toBe(3);

    bench.session('session-day-2', '2026-04-02T08:00:00.000Z');
    pullRounds(opened, 3, { session: 'session-day-2', sheet: 'sheet-2' });
    expect((await opened.compared()).marginPercent).toBe(12);
    // With an older session among them, the one that was fixed before all of them.
    const sessionIds = ['session-day-1', 'session-day-2'];
    expect((await opened.compared({ sessionIds })).marginPercent).toBe(3);
    expect((await handlers.listMargins({})).margins.map(({ marginPercent }) => marginPercent)).toEqual([
      12, 20, 3,
    ]);
  });
});

describe('across sessions', () => {
  it('the newest session that both have is taken, before newer ones of either', async () => {
    const opened = openComparison();
    pullRounds(opened, 3);
    opened.bench.session('session-day-2', '2026-04-02T08:00:00.000Z');
    opened.bench.pull({ tool: 'hollin', session: 'session-day-2', sustainedNm: 500 });
    const result = await opened.compared();
    expect(result.isAcrossSessions).toBe(false);
    expect(new Set(result.trials.map(({ sessionId }) => sessionId))).toEqual(new Set(['session-day-1']));
  });

  it('without one the newest of each is, and nothing is level while the scatter between days is unknown', async () => {
    const opened = openComparison();
    const { bench } = opened;
    for (const nm of [300, 301, 302]) bench.pull({ tool: 'hollin', sustainedNm: nm });
    bench.session('session-day-2', '2026-04-02T08:00:00.000Z');
    for (const nm of [300, 301, 302.5])
      bench.pull({ tool: 'tarnwick', session: 'session-day-2', sustainedNm: nm });
    const result = await opened.compared();
    expect(result).toMatchObject({
      isAcrossSessions: true,
      verdict: 'tooCloseToCall',
      dayToDay: { standardDeviation: null },
    });
    expect(result.sentence).toContain('day-to-day scatter unknown');
  });

  it('what a setup of three days says of the days is in the interval', async () => {
    const opened = openComparison();
    const { bench } = opened;
    for (const day of [1, 2, 3]) {
      const session = `session-day-${day}`;
      if (day > 1) bench.session(session, `2026-04-0${day}T08:00:00.000Z`);
      for (const nm of [200, 201, 202]) {
        bench.pull({ tool: 'brindlow', session, sustainedNm: nm * (1 + 0.02 * (day - 2)) });
      }
    }
    for (const nm of [300, 301, 302]) bench.pull({ tool: 'hollin', sustainedNm: nm });
    for (const nm of [300, 301, 302])
      bench.pull({ tool: 'tarnwick', session: 'session-day-3', sustainedNm: nm });
    const result = await opened.compared();
    expect(result.dayToDay).toMatchObject({ degreesOfFreedom: 2 });
    // Days of -2, 0 and +2 %.
    expect(result.dayToDay?.standardDeviation).toBeCloseTo(0.02, 3);
    expect(result.standardErrorLn).toBeGreaterThan(Math.SQRT2 * 0.0199);
    expect(result.verdict).toBe('tooCloseToCall');
  });

  it('what days do to the torque at each checkpoint is taken there, not what they do to the measure', async () => {
    const opened = openComparison();
    const { bench } = opened;
    const pulls = (
      pull: Omit<Pull, 'sustainedNm' | 'figures'>,
      sustainedNm: number,
      atOneSecondNm: number,
    ) => {
      for (const runFactor of [0.99, 1, 1.01]) {
        bench.pull({
          ...pull,
          sustainedNm: sustainedNm * runFactor,
          figures: {
            torqueAt: [
              { atS: 1, torqueNm: { value: atOneSecondNm * runFactor } },
              { atS: 5, torqueNm: { value: sustainedNm * runFactor } },
            ],
          },
        });
      }
    };
    for (const day of [1, 2, 3]) {
      const session = `session-day-${day}`;
      if (day > 1) bench.session(session, `2026-04-0${day}T08:00:00.000Z`);
      const away = day - 2;
      pulls(
        { tool: 'brindlow', session, role: 'reference' },
        200 * Math.exp(0.004 * away),
        100 * Math.exp(0.03 * away),
      );
    }
    pulls({ tool: 'hollin' }, 330, 110);
    pulls({ tool: 'tarnwick', session: 'session-day-3' }, 300, 100);
    const { checkpoints, leadStartsAtS, dayToDay } = await opened.compared();
    const ofDays = new Map(checkpoints.map((checkpoint) => [checkpoint.atS, checkpoint.dayToDay]));
    expect(dayToDay?.standardDeviation).toBeCloseTo(0.004, 9);
    expect(ofDays.get(5)?.standardDeviation).toBeCloseTo(0.004, 9);
    // Days of -3, 0 and +3 %: with those of the measure, 0.4 %, a lead of 10 % would be clear from 1 s on.
    expect(ofDays.get(1)?.standardDeviation).toBeCloseTo(0.03, 9);
    expect(ofDays.get(1)?.degreesOfFreedom).toBe(2);
    expect(checkpoints.filter(({ isClear }) => isClear).map(({ atS }) => atS)).toEqual([5]);
    expect(leadStartsAtS).toBe(5);
  });
});

describe('what may not be compared', () => {
  it('is refused with both sides named: another rate, filter, rig and measures', async () => {
    const opened = openComparison();
    const { bench } = opened;
    bench.pull({ tool: 'hollin', conditions: { profile: profileAt(80) } });
    const transducer = { ...bench.simulated, rigRevision: '2' };
    bench.pull({
      tool: 'tarnwick',
      conditions: { profile: { ...profileAt(1000), antiAliasBandwidthHz: 200 }, transducer },
      figures: { definitionVersion: 1, windowS: 0.051 },
    });
    expect(await opened.refusal()).toEqual([
      'Hollin H5 against Tarnwick T6: a rig without a revision against rig “2”.',
      'Hollin H5 against Tarnwick T6: 80\u202fSa/s against 1000\u202fSa/s.',
      'Hollin H5 against Tarnwick T6: no filter known against a filter of 200 Hz.',
      'Hollin H5 against Tarnwick T6: measured over 101\u202fms against measured over 51\u202fms.',
      'Hollin H5 against Tarnwick T6: measures of definition 2 against measures of definition 1.',
    ]);
    const forced = await opened.compared({ isForced: true });
    expect(forced.isLikeForLike).toBe(false);
    expect(forced.cautions.join(' ')).toContain('Not like for like');
  });

  it('is not what another definition judged, where it has the same measures', async () => {
    const opened = openComparison();
    for (const nm of [300, 301, 303]) {
      opened.bench.pull({ tool: 'hollin', sustainedNm: nm });
      opened.bench.pull({ tool: 'tarnwick', sustainedNm: nm + 9, figures: { definitionVersion: 3 } });
    }
    const { isLikeForLike, a, b, cautions } = await opened.compared();
    expect({ isLikeForLike, a: a.count, b: b.count }).toEqual({ isLikeForLike: true, a: 3, b: 3 });
    expect(cautions.join(' ')).not.toContain('definition');
  });

  it('is simulated with real, even where everything else is forced', async () => {
    const opened = openComparison();
    opened.bench.session('session-real', '2026-04-03T08:00:00.000Z', true);
    for (const nm of [300, 301]) opened.bench.pull({ tool: 'hollin', sustainedNm: nm });
    for (const nm of [300, 301]) {
      opened.bench.pull({ tool: 'tarnwick', session: 'session-real', isReal: true, sustainedNm: nm });
    }
    const reasons = ['Hollin H5 against Tarnwick T6: simulated pulls against real ones.'];
    expect(await opened.refusal()).toEqual(reasons);
    expect(await opened.refusal({ isForced: true })).toEqual(reasons);

    // Once it was pulled for real too, the real pulls are taken.
    for (const nm of [310, 311]) {
      opened.bench.pull({ tool: 'hollin', session: 'session-real', isReal: true, sustainedNm: nm });
    }
    opened.bench.session('session-later', '2026-04-04T08:00:00.000Z');
    pullRounds(opened, 2, { session: 'session-later' });
    const result = await opened.compared();
    expect(result.a).toMatchObject({ count: 2, contender: { isSimulated: false } });
  });

  it('is a setup with itself, one without trials of the step, and one whose trials all stay out', async () => {
    const opened = openComparison();
    const { bench, database } = opened;
    pullRounds(opened, 2);
    expect(await opened.refusal({ b: keyOf('hollin') })).toEqual([
      expect.stringContaining('one and the same setup'),
    ]);
    bench.pull({ tool: 'brindlow', step: { direction: 'reverse' } });
    expect(await opened.refusal({ b: keyOf('brindlow') })).toEqual([
      'Brindlow B4 has no trial by tighten forward 5\u202fs. Pull it, or choose another step.',
    ]);
    bench.pull({ tool: 'brindlow', id: 'voided' });
    recordDecision(database, 'voided', decision('voided'));
    bench.pull({ tool: 'brindlow', state: 'reviewing' });
    expect(await opened.refusal({ b: keyOf('brindlow') })).toEqual([
      'Brindlow B4 has no trial by tighten forward 5\u202fs that counts: 1 voided, 1 not decided yet.',
    ]);
  });

  it('is a measure that the kind of trial does not have', async () => {
    const opened = openComparison();
    pullRounds(opened, 2);
    expect(await opened.refusal({ measure: { figure: 'releasedPreload' } })).toEqual([
      expect.stringContaining('Only a breakaway'),
    ]);
    expect(await opened.refusal({ measure: { figure: 'torqueAt', atS: 10 } })).toEqual([
      'A pull of 5\u202fs ends before 10\u202fs.',
    ]);
  });

  it('is somebody who is not known at all', async () => {
    const opened = openComparison();
    pullRounds(opened, 2);
    await expect(opened.compared({ b: 'setup:nobody' })).rejects.toMatchObject({
      code: 'contender-not-found',
    });
  });
});

describe('trials of one side on another bench', () => {
  it('stay out with the reason where others are alike', async () => {
    const opened = openComparison();
    opened.bench.pull({ tool: 'hollin', id: 'slow', conditions: { profile: profileAt(50) } });
    pullRounds(opened, 3);
    const result = await opened.compared();
    expect(result.isLikeForLike).toBe(true);
    expect(result.trials.find(({ trialId }) => trialId === 'slow')?.leftOutBecause).toBe(
      'not like for like: 50\u202fSa/s against 80\u202fSa/s',
    );
  });

  it('are said to release at least what was set, where breakaways are compared', async () => {
    const opened = openComparison();
    const step = { kind: 'breakaway', direction: 'reverse', preloadNm: 400 } as const;
    for (const preloadNm of [405, 406, 407]) {
      for (const [tool, less] of [
        ['hollin', 0],
        ['tarnwick', 25],
      ] as const) {
        opened.bench.pull({
          tool,
          step,
          figures: { breakaway: { preloadNm: preloadNm - less, releasedAtS: 1 } },
        });
      }
    }
    const asked = {
      step: { kind: 'breakaway', direction: 'reverse', plannedS: 5 },
      measure: { figure: 'releasedPreload' },
    } as const;
    const told = /at least that torque; how much more is not known\. Who is ahead by it/;
    expect((await opened.compared(asked)).cautions.join(' ')).toMatch(told);
    const field = await opened.handlers.compareField({ ...asked, sessionIds: null, keys: null });
    expect(field.cautions.join(' ')).toMatch(told);
  });

  it('are told where a failed check marks them and nobody has decided, until somebody has', async () => {
    const opened = openComparison();
    pullRounds(opened, 3);
    const { database } = opened;
    expect((await opened.compared()).cautions.join(' ')).not.toContain('suspect');
    checkAt(database, AFTER_ALL_TRIALS, 'failed');
    const { cautions, verdict, trials } = await opened.compared();
    expect(cautions.at(-1)).toMatch(/^6 of 6 trials are suspect: a daily check failed after them/);
    expect(verdict).toBe('aheadByMargin');
    const [first, ...others] = trials.map(({ trialId }) => trialId);
    if (first === undefined) throw new Error('There is no trial');
    const by = {
      reason: 'The weight hung askew.',
      operator: 'Demo operator',
      at: '2026-12-01T10:00:00.000Z',
    };
    const checkId = markOf(database, first);
    decideSuspects(database, { trialIds: others, checkId }, { decision: 'usable', ...by });
    expect((await opened.compared()).cautions.at(-1)).toMatch(/^1 of 6 trials is suspect/);
    decideSuspects(database, { trialIds: [first], checkId }, { decision: 'excluded', ...by });
    expect((await opened.compared()).cautions.join(' ')).not.toContain('suspect');
  });

  it('are told apart by the calibration that they are read by, whose scale does not cancel', async () => {
    const opened = openComparison();
    pullRounds(opened, 2);
    expect((await opened.compared()).cautions.join(' ')).not.toContain('calibrations');
    const before = await opened.compared();
    const other = { ...figures(333), definitionVersion: 2, calibrationId: 'calibration-real' };
    for (const round of [3, 4]) {
      opened.bench.pull({ tool: 'hollin', figures: other, round });
      opened.bench.pull({ tool: 'tarnwick', sustainedNm: 303, round });
    }
    const { cautions, standardErrorLn } = await opened.compared();
    // A half of one side's pulls by another calibration, each entered with 0.5 % (k = 2).
    const scale = Math.hypot(0.5 * 0.0025, 0.5 * 0.0025);
    expect(cautions.join(' ')).toContain('read by 2 calibrations, whose scale errors do not cancel');
    expect(cautions.join(' ')).toContain(
      `${(100 * scale).toFixed(2)}\u202f% of the ratio, is in the interval`,
    );
    expect(Number(standardErrorLn)).toBeGreaterThan(scale);
    expect(before.cautions.join(' ')).not.toContain('scale errors');
  });
});
