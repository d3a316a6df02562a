import { describe, expect, it } from 'vitest';
import { nextIndex, planRun } from '../../../../shared-lib/calibration/plan-run.ts';
import type { PlannedReading, RunSetup } from '../../../../shared-lib/calibration/run-model.ts';
import { demoArm, demoSetup, demoShortArm, demoWeight } from '../../../helpers/run-setups.ts';

/** "z1" a zero of series 1, "+2" the second level rising, "-2" falling, "x0" "x3" exercises; "|" before what a hand does. */
const marks: Readonly<Record<PlannedReading['stage'], (reading: PlannedReading) => string>> = {
  warmUp: () => 'w',
  exercise: ({ level }) => `x${level}`,
  zeroBefore: ({ series }) => `z${series}`,
  increasing: ({ level }) => `+${level}`,
  decreasing: ({ level }) => `-${level}`,
  zeroAfter: ({ series }) => `r${series}`,
  creep30: () => 'c30',
  creep300: () => 'c300',
  bending: () => 'b',
};

function outline(readings: readonly PlannedReading[]): string {
  return readings
    .map((reading) => `${reading.handling === null ? '' : '| '}${marks[reading.stage](reading)}`)
    .join(' ');
}

function planOf(levelCount: number, change: Partial<RunSetup>): PlannedReading[] {
  const setup = demoSetup(levelCount, change);
  const arm = setup.levels.map((weights) => 24.5 * weights.length);
  return planRun(setup, { arm, shortArm: arm.map((torqueNm) => torqueNm / 2) });
}

describe('the plan of a run', () => {
  it('quick: up and down once, the top level read once, nothing to confirm', () => {
    const readings = planOf(6, { series: 'quick' });
    expect(outline(readings)).toBe('z1 +1 +2 +3 +4 +5 +6 -5 -4 -3 -2 -1 r2');
    expect(readings.map(({ index }) => index)).toEqual([...readings.keys()]);
    expect(readings[7]).toMatchObject({
      level: 5,
      torqueNm: 122.5,
      series: 2,
      mounting: 1,
      sense: 'forward',
    });
  });

  it('not remountable: increasing, increasing, decreasing, after three exercises from the bare arm', () => {
    expect(outline(planOf(2, { series: 'notRemountable', exercises: 3 }))).toBe(
      'x0 x2 x0 x2 x0 x2 z1 +1 +2 r1 z2 +1 +2 -1 r3',
    );
  });

  it('full: two increasing in the first mounting, one up and down in each further one, one exercise after remounting', () => {
    const readings = planOf(2, { series: 'full', exercises: 3 });
    expect(outline(readings)).toBe(
      'x0 x2 x0 x2 x0 x2 z1 +1 +2 r1 z2 +1 +2 r2 | x0 x2 z3 +1 +2 -1 r4 | x0 x2 z5 +1 +2 -1 r6',
    );
    expect(Math.max(...readings.map(({ mounting }) => mounting))).toBe(3);
  });

  it('takes each sense apart, and has the arm turned in between', () => {
    const readings = planOf(2, { senses: ['reverse', 'forward'] });
    expect(outline(readings)).toBe('z1 +1 +2 -1 r2 | z1 +1 +2 -1 r2');
    expect(readings.map(({ sense }) => sense)).toEqual([
      ...Array.from({ length: 5 }, () => 'reverse'),
      ...Array.from({ length: 5 }, () => 'forward'),
    ]);
    expect(readings[5]?.handling).toContain('load it in forward');
  });

  it('remounts without an exercise where none are wanted', () => {
    expect(outline(planOf(1, { series: 'full' }))).toBe('z1 +1 r1 z2 +1 r2 | z3 +1 r4 | z5 +1 r6');
  });

  it('one weight at two arm lengths: three times on each, half the torque on the half arm', () => {
    const readings = planOf(1, {
      way: 'oneWeight',
      series: 'twoArmLengths',
      levels: [[demoWeight(10)]],
      arm: demoArm,
      shortArm: demoShortArm,
    });
    expect(outline(readings)).toBe('z1 +1 r1 z2 +1 r2 z3 +1 r3 | z4 +1 r4 z5 +1 r5 z6 +1 r6');
    expect(
      readings.filter(({ stage }) => stage === 'increasing').map(({ arm, torqueNm }) => [arm, torqueNm]),
    ).toEqual([
      ...Array.from({ length: 3 }, () => ['arm', 24.5]),
      ...Array.from({ length: 3 }, () => ['shortArm', 12.25]),
    ]);
    expect(readings[9]?.handling).toContain('put on the 250 mm arm');
  });

  it('reads creep at the top of the last increasing series, sideways load at the end, and warms up once', () => {
    const checks = { creep: true, bending: true, warmUp: true };
    expect(outline(planOf(2, { series: 'notRemountable', senses: ['forward', 'reverse'], checks }))).toBe(
      'w z1 +1 +2 r1 z2 +1 +2 c30 c300 -1 r3 | b | b | z1 +1 +2 r1 z2 +1 +2 c30 c300 -1 r3 | b | b',
    );
  });

  it('asks for the first reading that is missing, also after a redo, and for none at the end', () => {
    const readings = planOf(2, {});
    expect(nextIndex(readings, [])).toBe(0);
    expect(nextIndex(readings, [{ index: 0 }, { index: 2 }, { index: 3 }])).toBe(1);
    expect(nextIndex(readings, readings)).toBeNull();
  });
});
