import { describe, expect, it } from 'vitest';
import { distributionFunctions as distributions } from '../../../../shared-lib/calibration/distribution-functions.ts';
import { flagsOf, referenceTimes } from '../../../../scripts/drift/study-drift.ts';
import { THIN_SPACE } from '../../../../shared-lib/format-quantity.ts';
import { driftOverTime, referenceDrift } from '../../../../shared-lib/run-sheet/drift-over-time.ts';
import { driftSchema } from '../../../../shared-lib/run-sheet/session-model.ts';
import norris from '../../../fixtures/reference-values/nist-norris.json' with { type: 'json' };
import student from '../../../fixtures/reference-values/student-t.json' with { type: 'json' };

const zeroWords = { what: 'The zero', unit: 'N·m', decimals: 2 };
const drift = (values: readonly (readonly [number, number])[]) =>
  driftOverTime(
    values.map(([hours, value]) => ({ hours, value })),
    distributions,
    zeroWords,
  );

describe('a drift over time', () => {
  it('is the certified slope of NIST’s Norris data, with its certified standard deviation in the interval', () => {
    const found = drift(norris.x.map((x, index) => [x, norris.y[index] ?? NaN]));
    expect(found?.pointCount).toBe(36);
    expect(found?.perHour).toBeCloseTo(1.00211681802045, 11);
    // t of 34 degrees of freedom, 0.025 in the upper tail: 2.0322445 (scipy 1.17.1).
    const half = 2.0322445093177186 * 0.000429796848199937;
    expect((found?.highPerHour ?? NaN) - (found?.perHour ?? NaN)).toBeCloseTo(half, 11);
    expect((found?.perHour ?? NaN) - (found?.lowPerHour ?? NaN)).toBeCloseTo(half, 11);
    expect(found?.isFlagged).toBe(true);
  });

  it('of four points has the interval that can be worked out by hand', () => {
    // Slope 0.4; residuals 0.2, -0.6, 0.6, -0.2, so s^2 = 0.8 / 2 and se = sqrt(0.4 / 5).
    const found = drift([
      [0, 0],
      [1, -0.4],
      [2, 1.2],
      [3, 0.8],
    ]);
    const t = student.published.find(([df]) => df === 2)?.[3] ?? NaN;
    expect(found?.perHour).toBeCloseTo(0.4, 12);
    expect((found?.highPerHour ?? NaN) - 0.4).toBeCloseTo(t * Math.sqrt(0.08), 3);
    expect(found?.isFlagged).toBe(false);
  });

  it('does not know anything from two points, from one instant, or from none', () => {
    expect(drift([])).toBeNull();
    expect(
      drift([
        [0, 1],
        [1, 2],
      ]),
    ).toBeNull();
    expect(
      drift([
        [2, 1],
        [2, 2],
        [2, 3],
      ]),
    ).toBeNull();
  });

  it('is not flagged for the rounding of values that are all alike, and is where they lie on a slope', () => {
    const at = (slope: number) => drift([0, 0.1, 0.7, 1.3, 5].map((hours) => [hours, 0.1 + slope * hours]));
    expect(at(0)).toMatchObject({ isFlagged: false });
    expect(at(0.01)?.isFlagged).toBe(true);
  });

  it('says what it found, torque in both units, and what could still hide', () => {
    const steady = drift([
      [0, 0],
      [1, -0.4],
      [2, 1.2],
      [3, 0.8],
    ]);
    expect(steady?.sentence).toMatch(
      /^The zero shows no drift that could not be chance: \+0\.40.N·m \(0\.30.ft·lbf\) per hour/,
    );
    expect(steady?.sentence).toMatch(/up to 1\.62.N·m .* could still hide/);
    expect(drift([0, 1, 2, 3].map((hours) => [hours, -hours]))?.sentence).toMatch(
      /^The zero drifted: −1\.00.N·m .*Look for the cause/,
    );
    expect(driftSchema.parse(steady)).toEqual(steady);
  });
});

describe('the drift of the reference tool', () => {
  it('is in percent of its mean torque', () => {
    const found = referenceDrift(
      [0, 1, 2, 3, 4].map((hours) => ({ hours, sustainedTorqueNm: 400 - 4 * hours })),
      distributions,
    );
    // 4 N·m an hour of a mean of 392.
    expect(found?.perHour).toBeCloseTo(-100 * (4 / 392), 10);
    expect(found?.sentence).toContain(`−1.02${THIN_SPACE}% per hour`);
  });

  it('is not stated for too few pulls', () => {
    expect(referenceDrift([], distributions)).toBeNull();
    expect(referenceDrift([{ hours: 0, sustainedTorqueNm: 400 }], distributions)).toBeNull();
  });
});

describe('on simulated days of 8 h with three rounds and a scatter of 1.5 %', () => {
  const day = { hours: 8, rounds: 3, scatterPercent: 1.5 };
  const DAYS = 1000;

  it('the reference tool is pulled three times at the start and the end, and once in each round', () => {
    const times = referenceTimes(day);
    expect(times).toHaveLength(9);
    expect(times[2]).toBeLessThan(0.2);
    expect(times[6]).toBeGreaterThan(7.8);
    expect(times.at(-1)).toBeCloseTo(8, 9);
    expect(times.toSorted((a, b) => a - b)).toEqual(times);
  });

  it('a drift of 1 % an hour is flagged on at least nine of ten', () => {
    expect(flagsOf({ ...day, driftPercentPerHour: 1 }, DAYS, distributions).flagged).toBeGreaterThanOrEqual(
      0.9,
    );
    expect(flagsOf({ ...day, driftPercentPerHour: -1 }, DAYS, distributions).flagged).toBeGreaterThanOrEqual(
      0.9,
    );
  });

  it('a drift that is not there is flagged on at most one of twenty', () => {
    const { flagged, zeroOutside } = flagsOf({ ...day, driftPercentPerHour: 0 }, DAYS, distributions);
    expect(flagged).toBeLessThanOrEqual(0.05);
    // The 95 % interval is one: it leaves out zero in some 5 %.
    expect(zeroOutside).toBeGreaterThan(0.03);
    expect(zeroOutside).toBeLessThan(0.07);
  });

  it('a day of 2 h cannot be told to drift by 1 % an hour', () => {
    const short = { hours: 2, rounds: 3, scatterPercent: 1.5, driftPercentPerHour: 1 };
    expect(flagsOf(short, DAYS, distributions).flagged).toBeLessThan(0.5);
  });
});
