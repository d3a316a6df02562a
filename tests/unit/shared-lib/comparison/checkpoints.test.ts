import { describe, expect, it } from 'vitest';
import { distributionFunctions as distributions } from '../../../../shared-lib/calibration/distribution-functions.ts';
import type { TorquesAtInstant } from '../../../../shared-lib/comparison/checkpoints.ts';
import type { ComparedTrial } from '../../../../shared-lib/comparison/comparison-model.ts';
import { compared, madeBlock, madeRounds } from './made-trials.ts';

const TRIALS = madeRounds({ a: [560, 565, 555], b: [500, 502, 495] });

/** Torques as they were compared, times a factor for A. */
const at = (
  atS: number,
  factorOfA: number,
  trials: readonly ComparedTrial[] = TRIALS,
  dayToDay: TorquesAtInstant['dayToDay'] = null,
): TorquesAtInstant => ({
  atS,
  dayToDay,
  trials: trials.map(({ trialId, contenderKey, value }) => ({
    trialId,
    valueNm: value === null ? null : value * (contenderKey === 'setup:a' ? factorOfA : 1),
  })),
});

describe('the checkpoints', () => {
  it('have intervals that hold all at once: of three, 98.33 % each (Bonferroni)', () => {
    const alone = compared(TRIALS, { checkpoints: [at(1, 1)] }).checkpoints[0]?.ratio;
    const main = compared(TRIALS);
    expect(alone?.low).toBeCloseTo(main.ratio?.low ?? NaN, 12);
    const three = compared(TRIALS, { checkpoints: [at(1, 1), at(2, 1), at(3, 1)] }).checkpoints[0]?.ratio;
    const half = Math.log(three?.high ?? NaN) - Math.log(three?.ratio ?? NaN);
    const t = distributions.studentTQuantile(1 - 0.05 / 6, main.degreesOfFreedom ?? NaN);
    expect(half).toBeCloseTo(t * (main.standardErrorLn ?? NaN), 12);
  });

  it('say where the lead starts: the first from which on all leave out 1, on one side', () => {
    const start = (...factors: number[]) =>
      compared(TRIALS, { checkpoints: factors.map((factor, index) => at(index + 1, factor)) }).leadStartsAtS;
    expect(start(1, 1, 1)).toBe(1);
    expect(start(0.9, 1, 1)).toBe(2);
    expect(start(1, 0.9, 1)).toBe(3);
    expect(start(0.6, 1, 1)).toBe(2);
    expect(start(1, 1, 0.9)).toBeNull();
    expect(start(0.6, 0.6, 0.6)).toBe(1);
    expect(compared(TRIALS).leadStartsAtS).toBeNull();
  });

  it('stand in the order of time, whatever order they come in', () => {
    const found = compared(TRIALS, { checkpoints: [at(3, 1), at(1, 0.89)] });
    expect(found.checkpoints.map(({ atS }) => atS)).toEqual([1, 3]);
    expect(found.leadStartsAtS).toBe(3);
  });

  it('have no ratio where too few runs have a torque, and then no lead reaches over them', () => {
    const short = {
      ...at(2, 1),
      trials: at(2, 1).trials.map((trial, index) => (index === 0 ? trial : { ...trial, valueNm: null })),
    };
    const found = compared(TRIALS, { checkpoints: [at(1, 1), short] });
    expect(found.checkpoints[1]).toEqual({ atS: 2, ratio: null, isClear: false });
    expect(found.leadStartsAtS).toBeNull();
  });

  const ACROSS = [
    ...madeBlock('a', [560, 565, 555]),
    ...madeBlock('b', [500, 502, 495], { sessionId: 's2', from: 3 }),
  ];
  const KNOWN_WELL = { standardDeviation: 0.004, degreesOfFreedom: 9 };

  it('are never clear across sessions while the day-to-day scatter there is unknown, whatever is known of the measure', () => {
    const unknown = compared(ACROSS, { checkpoints: [at(1, 1, ACROSS)], dayToDay: KNOWN_WELL });
    expect(unknown.checkpoints[0]).toMatchObject({ isClear: false, dayToDay: null });
    expect(unknown.checkpoints[0]?.ratio).not.toBeNull();
    expect(unknown.leadStartsAtS).toBeNull();
    const known = compared(ACROSS, { checkpoints: [at(1, 1, ACROSS, KNOWN_WELL)] });
    expect(known.checkpoints[0]?.dayToDay).toEqual(KNOWN_WELL);
    expect(known.leadStartsAtS).toBe(1);
  });

  it('take the day-to-day scatter of the torque at each instant: where days move it more, the lead starts later', () => {
    const moved = { standardDeviation: 0.06, degreesOfFreedom: 9 };
    const found = compared(ACROSS, {
      checkpoints: [at(1, 1, ACROSS, moved), at(5, 1, ACROSS, KNOWN_WELL)],
      dayToDay: KNOWN_WELL,
    });
    expect(found.checkpoints.map(({ isClear }) => isClear)).toEqual([false, true]);
    expect(found.leadStartsAtS).toBe(5);
  });

  it('say nothing of days within one session, where these cancel', () => {
    const found = compared(TRIALS, { checkpoints: [at(1, 1, TRIALS, KNOWN_WELL)] });
    expect(found.checkpoints[0]).not.toHaveProperty('dayToDay');
  });
});
