import { describe, expect, it } from 'vitest';
import {
  checkHaste,
  checkReading,
  checkWaiting,
  type ReadingToCheck,
} from '../../../../shared-lib/calibration/check-reading.ts';
import { planRun } from '../../../../shared-lib/calibration/plan-run.ts';
import type { KnownGain } from '../../../../shared-lib/calibration/run-scale.ts';
import type { Steadiness } from '../../../../shared-lib/calibration/watch-steadiness.ts';
import { demoSetup, demoWeight } from '../../../helpers/run-setups.ts';

const COUNTS_PER_NM = 4000;
const ZERO = 1234;
const TORQUE_PER_KG = 0.5 * 9.81;
const [one, two, five, ten] = [demoWeight(1), demoWeight(2), demoWeight(5), demoWeight(10)];
const stacks = [[two], [five, two], [ten, five], [ten, five, two, one]];

const ofRun: KnownGain = { countsPerNm: COUNTS_PER_NM, source: 'run' };
const ofCalibration: KnownGain = { countsPerNm: COUNTS_PER_NM, source: 'calibration' };

/** The increasing reading of a level under so many kilograms on the half-metre arm. */
function checkOf(level: number, hangingKg: number, change: Partial<ReadingToCheck> = {}): string[] {
  return sentencesOf(level, hangingKg, change).map(({ code }) => code);
}

function sentencesOf(level: number, hangingKg: number, change: Partial<ReadingToCheck> = {}) {
  const setup = demoSetup(1, { levels: stacks });
  const torques = stacks.map((weights) =>
    weights.reduce((sum, { massKg }) => sum + TORQUE_PER_KG * massKg, 0),
  );
  const readings = planRun(setup, { arm: torques, shortArm: [] });
  const asked = readings[level];
  const before = level === 0 ? null : (readings[level - 1] ?? null);
  if (asked === undefined) throw new Error('No such level');
  return checkReading({
    setup,
    asked,
    meanCounts: ZERO + COUNTS_PER_NM * TORQUE_PER_KG * hangingKg,
    zeroCounts: ZERO,
    before,
    gain: ofRun,
    fullDeflectionCounts: COUNTS_PER_NM * TORQUE_PER_KG * 18,
    converterBits: 24,
    ...change,
  });
}

describe('what a steady reading says about the load', () => {
  it.each([
    ['what was asked for', 2, 7, []],
    ['half a percent more, as hysteresis gives', 2, 7 * 1.005, []],
    ['a weight hung twice', 2, 12, ['weight-twice']],
    ['a weight missing', 4, 16, ['weight-missing']],
    ['nothing', 2, 0, ['nothing-hangs']],
    ['the load of the reading before', 2, 2, ['same-load']],
    ['the other direction', 2, -7, ['wrong-direction']],
    ['something that fits nothing', 3, 15 * 0.94, ['unexpected-load']],
    ['one weight in pounds', 4, 18 - 10 + 10 * 0.453_592_37, ['mass-unit']],
  ])('%s', (_, level, hangingKg, codes) => {
    expect(checkOf(level, hangingKg)).toEqual(codes);
  });

  it.each([
    ['pounds taken for kilograms', 0.453_592_37, '2.205'],
    ['kilograms converted as if from pounds', 2.204_622_62, '2.205'],
    ['newtons taken for kilograms', 1 / 9.806_65, '9.807'],
    ['kilograms converted as if from newtons', 9.806_65, '9.807'],
  ])('asks about the unit of the masses: %s', (_, factor, ratio) => {
    const flags = sentencesOf(3, 15 * factor, { gain: ofCalibration });
    expect(flags.map(({ code }) => code)).toEqual(['mass-unit']);
    expect(flags[0]?.sentence).toContain(`The ratio is ${ratio}`);
  });

  it('gives the figures in both units', () => {
    const [flag] = sentencesOf(2, 12);
    expect(flag?.sentence.replaceAll('\u202f', ' ')).toBe(
      'It reads 58.9 N·m (43.4 ft·lbf), and 5 kg and 2 kg should give 34.3 N·m (25.3 ft·lbf). That is 5 kg more: does it hang there twice, or another one with it?',
    );
  });

  it('lets the calibration in use be wrong by some percent, and the other sense differ a little', () => {
    expect(checkOf(3, 15 * 1.08, { gain: ofCalibration })).toEqual([]);
    expect(checkOf(3, 15 * 1.25, { gain: ofCalibration })).toEqual(['unexpected-load']);
    expect(checkOf(3, 15 * 1.04, { gain: { ...ofRun, source: 'otherSense' } })).toEqual([]);
    expect(checkOf(3, 15 * 1.04)).not.toEqual([]);
  });

  it('without any gain only refuses a load that hardly moves the reading', () => {
    expect(checkOf(1, 99, { gain: null })).toEqual([]);
    expect(checkOf(1, 0.004, { gain: null })).toEqual(['too-small']);
  });

  it('says where the bare arm has moved by more than half a percent of the full deflection', () => {
    expect(checkOf(0, 0.08)).toEqual([]);
    expect(checkOf(0, 0.1)).toEqual(['zero-moved']);
    expect(checkOf(0, 5, { zeroCounts: null })).toEqual([]);
  });

  it('says where the converter is at its end', () => {
    const at = { zeroCounts: 0, converterBits: 16, gain: null };
    expect(checkOf(1, 0, { ...at, meanCounts: -32_700 })).toEqual(['near-rail']);
    expect(checkOf(1, 0, { ...at, meanCounts: 32_000 })).toEqual([]);
  });
});

describe('what is said of a reading that is not steady', () => {
  const restless: Steadiness = {
    phase: 'settling',
    window: {
      meanCounts: 5,
      standardDeviationCounts: 3,
      spreadCounts: 80,
      driftCountsPerS: 2,
      sampleCount: 400,
      durationS: 0.4,
      isSpreadWithin: false,
      isDriftWithin: true,
      spreadLimitCounts: 20,
      driftLimitCounts: 10,
    },
    heldS: 0.4,
    dwellS: 1,
    isNeverSteady: false,
    loadedS: 3,
  };
  const increasing = { stage: 'increasing' } as const;

  it('nothing before its time, then the figures with their limits', () => {
    expect(checkWaiting(restless, increasing)).toEqual([]);
    const [flag] = checkWaiting({ ...restless, isNeverSteady: true }, increasing);
    expect(flag?.code).toBe('never-steady');
    expect(flag?.sentence).toContain('80.0 counts (limit 20.0)');
  });

  it('taken by key it keeps what was out of the ordinary; a steady one has nothing to keep', () => {
    expect(checkHaste(restless, increasing).map(({ code }) => code)).toEqual(['not-steady']);
    expect(checkHaste({ ...restless, phase: 'unchanged' }, increasing).map(({ code }) => code)).toEqual([
      'unchanged',
    ]);
    expect(checkHaste({ ...restless, phase: 'steady' }, increasing)).toEqual([]);
    expect(checkHaste(restless, { stage: 'creep30' }).map(({ code }) => code)).toEqual(['creep-time']);
  });

  it('asks for a fresh load where the time of a creeping one is not known', () => {
    const touched = { ...restless, loadedS: null };
    expect(checkWaiting(touched, { stage: 'creep300' }).map(({ code }) => code)).toEqual([
      'load-time-unknown',
    ]);
    expect(checkWaiting(touched, increasing)).toEqual([]);
  });
});
