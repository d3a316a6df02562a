import { describe, expect, it } from 'vitest';
import { distributionFunctions as distributions } from '../../../../shared-lib/calibration/distribution-functions.ts';
import { driftOfReference, figuresOfSetups, zeroDrift } from '../../../../main/run-sheet/session-report.ts';
import type { SessionTrial } from '../../../../main/storage/session-trials.ts';
import type { CalibrationVersion } from '../../../../shared-lib/calibration/calibration-model.ts';
import type { Role } from '../../../../shared-lib/run-sheet/run-sheet-model.ts';
import type { SetupAsTested } from '../../../../shared-lib/run-sheet/setup-model.ts';
import type { TrialSummary } from '../../../../shared-lib/trial/trial-model.ts';
import { unmarked } from '../../../helpers/trial-defaults.ts';

const setup = (setupId: string, toolName: string): SetupAsTested => ({
  setupId,
  toolId: `tool of ${setupId}`,
  toolName,
  supply: 'battery',
  declaredVibrationMps2: null,
  declaredNoiseDbA: null,
  packId: null,
  packName: null,
  packCapacityAh: null,
  setting: '',
  socket: null,
});
const hollin = setup('hollin', 'Hollin H5');
const tarnwick = setup('tarnwick', 'Tarnwick T6');

/** A kept, good trial so many minutes after six in the morning. */
function trial(
  minute: number,
  changes: Partial<TrialSummary> = {},
  more: Partial<SessionTrial> & { role?: Role } = {},
): SessionTrial {
  const { role = 'counted', ...others } = more;
  const shownSetup = changes.setup === undefined ? hollin : changes.setup;
  return {
    summary: {
      id: `trial-${minute}`,
      sessionId: 'session',
      startedAt: new Date(Date.UTC(2026, 2, 4, 6, minute)).toISOString(),
      step: {
        toolName: shownSetup?.toolName ?? 'Hollin H5',
        kind: 'tighten',
        direction: 'forward',
        plannedS: 5,
      },
      state: 'kept',
      isVoided: false,
      isSimulated: false,
      qualityVerdict: 'good',
      sustainedTorqueNm: 400,
      suspicion: null,
      ...unmarked,
      place: {
        runSheetId: 'sheet',
        entryId: `entry-${minute}`,
        index: minute,
        round: 1,
        repeat: 1,
        role,
      },
      ...changes,
      setup: shownSetup,
    },
    calibrationId: 'calibration',
    amplifierId: null,
    zeroCounts: 100,
    senseSign: 1,
    ...others,
  };
}

const excluded: TrialSummary['suspicion'] = {
  checkId: 1,
  failedAt: '2026-03-04T09:00:00.000Z',
  decision: 'excluded',
  reason: 'The arm was bent.',
};

describe('figures of the setups of a session', () => {
  it('are of each setup, in the order in which they were first pulled', () => {
    const figures = figuresOfSetups(
      [
        trial(0, { setup: tarnwick, sustainedTorqueNm: 300 }),
        trial(1, { sustainedTorqueNm: 390 }),
        trial(2, { setup: tarnwick, sustainedTorqueNm: 310 }),
        trial(3, { sustainedTorqueNm: 410 }),
      ],
      'goodOnly',
      distributions,
    );
    expect(figures).toMatchObject([
      { label: 'Tarnwick T6', setupId: 'tarnwick', count: 2, meanNm: 305, isOneBlock: false },
      { label: 'Hollin H5', setupId: 'hollin', count: 2, meanNm: 400, isOneBlock: false },
    ]);
    // Two values x apart: s = x / root 2, the interval is t(0.975; 1) s / root 2 = 12.7062 x / 2 wide on each side
    // (t of one degree of freedom: tan(0.475 pi)).
    expect(figures[0]?.highNm).toBeCloseTo(305 + (Math.tan(0.475 * Math.PI) * 10) / 2, 6);
  });

  it('say that repeats stand in one block', () => {
    const [figures] = figuresOfSetups([trial(0), trial(1), trial(2)], 'goodOnly', distributions);
    expect(figures).toMatchObject({ count: 3, isOneBlock: true });
  });

  it.each([
    ['goodOnly', 1, 2],
    ['goodAndLook', 2, 1],
    ['allKept', 3, 0],
  ] as const)('under the gate %s count %i and leave out %i', (gate, count, leftOutCount) => {
    const trials = [
      trial(0),
      trial(1, { qualityVerdict: 'look' }),
      trial(2, { qualityVerdict: 'notUsable' }),
      trial(3, { isVoided: true }),
      trial(4, { state: 'interrupted', sustainedTorqueNm: null }),
      trial(5, {}, { role: 'conditioning' }),
    ];
    expect(figuresOfSetups(trials, gate, distributions)).toMatchObject([
      { count, leftOutCount, voidedCount: 1, conditioningCount: 1 },
    ]);
  });

  it('leave out what a failed check excluded, under any gate, and still count it', () => {
    const trials = [trial(0), trial(1, { suspicion: excluded, sustainedTorqueNm: 1000 })];
    for (const gate of ['goodOnly', 'goodAndLook', 'allKept'] as const) {
      expect(figuresOfSetups(trials, gate, distributions)).toMatchObject([
        { count: 1, leftOutCount: 1, meanNm: 400 },
      ]);
    }
  });

  it('go by the name where there is no setup', () => {
    const outside = { setup: null, place: null };
    const other = {
      ...outside,
      step: { toolName: 'Corvane C8', kind: 'tighten', direction: 'forward', plannedS: 5 },
    } as const;
    expect(
      figuresOfSetups([trial(0, outside), trial(1, other), trial(2, outside)], 'goodOnly', distributions),
    ).toMatchObject([
      { label: 'Hollin H5', setupId: null, count: 2 },
      { label: 'Corvane C8', setupId: null, count: 1 },
    ]);
  });
});

const calibration = (gainNmPerCount: number): Pick<CalibrationVersion, 'forward' | 'reverse'> => ({
  forward: { gainNmPerCount, validToNm: 1000, curve: null },
  reverse: null,
});

describe('the drift of the zero', () => {
  const drift = (trials: readonly SessionTrial[]) =>
    zeroDrift(trials, () => calibration(0.01) as CalibrationVersion, distributions);

  it('is the slope of the zeros through the calibration', () => {
    // 60 counts an hour at 0.01 N m a count.
    const trials = [0, 20, 40, 60].map((minute) => trial(minute, {}, { zeroCounts: 5000 + minute }));
    expect(drift(trials)).toMatchObject({ pointCount: 4, isFlagged: true });
    expect(drift(trials)?.perHour).toBeCloseTo(0.6, 9);
  });

  it('has the sign of the torque, not of the counts', () => {
    const trials = [0, 30, 60].map((minute) => trial(minute, {}, { zeroCounts: minute, senseSign: -1 }));
    expect(drift(trials)?.perHour).toBeCloseTo(-0.6, 9);
  });

  it('takes in voided trials, whose zero is as good, but none of another amplifier', () => {
    const trials = [
      trial(0, {}, { zeroCounts: 90_000, amplifierId: 'other' }),
      ...[10, 20, 40].map((minute) =>
        trial(minute, { isVoided: true }, { zeroCounts: minute, amplifierId: 'this' }),
      ),
    ];
    expect(drift(trials)).toMatchObject({ pointCount: 3 });
    expect(drift(trials)?.perHour).toBeCloseTo(0.6, 9);
  });

  it('is not told of too few trials', () => {
    expect(drift([])).toBeNull();
    expect(drift([trial(0), trial(60)])).toBeNull();
  });
});

describe('the drift of the reference tool', () => {
  it('comes from its kept pulls alone', () => {
    const pull = (minute: number, sustainedTorqueNm: number, changes: Partial<TrialSummary> = {}) =>
      trial(minute, { sustainedTorqueNm, ...changes }, { role: 'reference' });
    const trials = [
      pull(0, 400),
      trial(10, { sustainedTorqueNm: 900 }),
      pull(15, 900, { isVoided: true }),
      pull(20, 900, { suspicion: excluded }),
      pull(25, 900, { qualityVerdict: 'look' }),
      pull(30, 404),
      pull(60, 408),
    ];
    const drift = driftOfReference(trials, 'goodOnly', distributions);
    // 8 N m an hour on a mean of 404.
    expect(drift).toMatchObject({ pointCount: 3 });
    expect(drift?.perHour).toBeCloseTo((100 * 8) / 404, 9);
  });

  it('does not take the difference of two reference tools for one', () => {
    const trials = [0, 10, 20].flatMap((minute) => [
      trial(minute, { sustainedTorqueNm: 400 }, { role: 'reference' }),
      trial(minute + 30, { setup: tarnwick, sustainedTorqueNm: 200 }, { role: 'reference' }),
    ]);
    const drift = driftOfReference(trials, 'goodOnly', distributions);
    expect(drift).toMatchObject({ pointCount: 3, isFlagged: false });
    expect(drift?.perHour).toBeCloseTo(0, 9);
  });

  it('is not told without a reference tool', () => {
    expect(driftOfReference([trial(0), trial(1), trial(2)], 'goodOnly', distributions)).toBeNull();
  });
});
