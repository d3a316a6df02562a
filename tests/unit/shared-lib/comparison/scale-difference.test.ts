import { describe, expect, it } from 'vitest';
import { distributionFunctions as distributions } from '../../../../shared-lib/calibration/distribution-functions.ts';
import { estimateDifference } from '../../../../shared-lib/comparison/estimate-difference.ts';
import { observe } from '../../../../shared-lib/comparison/observations.ts';
import { scaleDifference, type TrialScales } from '../../../../shared-lib/comparison/scale-difference.ts';
import { intervalOf } from '../../../../shared-lib/comparison/welch.ts';
import { createSeededRandom } from '../../../../shared-lib/simulation/seeded-random.ts';
import { compared, madeBlock, madeRounds } from './made-trials.ts';

const UNCERTAINTIES = new Map([
  ['first', 0.003],
  ['second', 0.004],
]);

/** Trials are called after their calibration: "second 4". */
const scales: TrialScales = {
  calibrationOf: (trialId) => trialId.split(' ')[0] ?? '',
  uncertaintyOf: (calibrationId) => UNCERTAINTIES.get(calibrationId) ?? null,
};

function scalesBy(calibrationOf: (trialId: string) => string): TrialScales {
  return { ...scales, calibrationOf };
}

describe('the scales of two calibrations', () => {
  it('add up as independent errors where each side is read by one of its own (GUM 5.1.2)', () => {
    const found = scaleDifference(['first 1', 'first 2'], ['second 3'], scales);
    expect(Math.sqrt(found.variance)).toBeCloseTo(0.005, 15);
    expect(found).toMatchObject({ isUnknown: false, calibrationCount: 2 });
  });

  it('enter by the share that the two do not have alike', () => {
    const found = scaleDifference(
      ['first 1', 'first 2', 'second 3', 'second 4'],
      ['first 5', 'first 6'],
      scales,
    );
    expect(Math.sqrt(found.variance)).toBeCloseTo(0.5 * Math.hypot(0.003, 0.004), 15);
  });

  it('cancel where both are read by them alike, stated or not', () => {
    const both = (calibration: string) => [`${calibration} 1`, 'first 2', 'first 3'];
    expect(scaleDifference(both('second'), both('second'), scales).variance).toBe(0);
    expect(scaleDifference(both('unstated'), both('unstated'), scales)).toEqual({
      variance: 0,
      isUnknown: false,
      calibrationCount: 2,
    });
  });

  it('are not known where one that does not cancel states no uncertainty', () => {
    expect(scaleDifference(['first 1'], ['unstated 2'], scales).isUnknown).toBe(true);
  });
});

describe('a comparison of trials that two calibrations read', () => {
  const values = { a: [500, 505, 498, 503], b: [470, 474, 468, 471] };
  const trials = madeRounds(values);
  const ofA = new Set(trials.flatMap((trial) => (trial.contenderKey === 'setup:a' ? trial.trialId : [])));
  const apart = (other: string): TrialScales => scalesBy((id) => (ofA.has(id) ? 'first' : other));

  it('has their uncertainty in its standard error, and says so', () => {
    const without = compared(trials);
    const found = compared(trials, { scales: apart('second') });
    expect(found.standardErrorLn).toBeCloseTo(Math.hypot(without.standardErrorLn ?? NaN, 0.005), 12);
    expect(found.degreesOfFreedom).toBeGreaterThan(without.degreesOfFreedom ?? NaN);
    expect(found.cautions).toContain(
      'The trials are read by 2 calibrations, whose scale errors do not cancel between the two. Their uncertainty, 0.50\u202f% of the ratio, is in the interval.',
    );
    expect(without.cautions.join(' ')).not.toContain('calibrations');
    // Runs dealt out anew would deal out the calibrations with them.
    expect(found.permutationP).toBeNull();
    expect(without.permutationP).not.toBeNull();
  });

  it('calls nothing level or ahead by the margin where one of them states none', () => {
    expect(compared(trials).verdict).toBe('aheadByMargin');
    const found = compared(trials, { scales: apart('unstated') });
    expect(found.verdict).toBe('ahead');
    expect(found.sentence).toContain('not all with a stated uncertainty: the interval is too narrow.');
    expect(found.sentence).not.toContain('though it may be less than the margin');
    expect(found.cautions.join(' ')).toContain('Not all of them state an uncertainty');
    const level = { ...values, b: [501, 504, 499, 502] };
    expect(compared(madeRounds(level)).verdict).toBe('level');
    expect(compared(madeRounds(level), { scales: apart('unstated') }).verdict).toBe('tooCloseToCall');
  });

  it('is as ever where they cancel', () => {
    expect(compared(trials, { scales: scalesBy(() => 'unstated') })).toEqual(compared(trials));
  });

  it('says that no number of rounds overcomes an uncertainty as wide as the margin', () => {
    const wide = { ...apart('second'), uncertaintyOf: () => 0.03 };
    expect(compared(trials, { scales: wide }).roundsToDecide?.sentence).toContain(
      'since the two were read by different calibrations: pull both in one session.',
    );
  });

  it('blames the scatter of the runs, and no calibration, where scales cancel', () => {
    const scattered = madeRounds({ a: [500, 640, 410, 560], b: [450, 380, 600, 520] });
    const found = compared(scattered, { scales: scalesBy(() => 'first') });
    expect(found.roundsToDecide?.sentence).toContain('find out first why the runs scatter so much');
  });

  it('has no clear checkpoint where one of them states none', () => {
    const checkpoints = [
      { atS: 5, dayToDay: null, trials: trials.map(({ trialId, value }) => ({ trialId, valueNm: value })) },
    ];
    const torqueScales = apart('unstated');
    expect(compared(trials, { checkpoints }).checkpoints[0]?.isClear).toBe(true);
    expect(compared(trials, { checkpoints, torqueScales }).checkpoints[0]?.isClear).toBe(false);
  });

  it('tells equal tools apart in about 5 % of cases, where without their uncertainty it did in most', () => {
    const COMPARISONS = 600;
    const random = createSeededRandom(7, 11);
    const apartBy = { known: 0, ignored: 0 };
    const wide = scalesBy((id) => (Number(id.split(' ')[1]) < 100 ? 'one' : 'other'));
    for (let index = 0; index < COMPARISONS; index += 1) {
      const pulls = (key: string, from: number) => {
        const scale = 0.02 * random.gaussian();
        const torques = Array.from({ length: 5 }, () => 500 * Math.exp(scale + 0.005 * random.gaussian()));
        return madeBlock(key, torques, { from });
      };
      const observations = observe([...pulls('a', 0), ...pulls('b', 100)]);
      const isApart = (by: TrialScales | null): boolean => {
        const test = estimateDifference(observations, 'setup:a', 'setup:b', null, distributions, by)?.test;
        if (test == null) throw new Error('Two with five runs each have a difference.');
        const { low, high } = intervalOf(test, 0.95, distributions);
        return low > 0 || high < 0;
      };
      if (isApart({ ...wide, uncertaintyOf: () => 0.02 })) apartBy.known += 1;
      if (isApart(null)) apartBy.ignored += 1;
    }
    const threeErrors = 3 * Math.sqrt((0.05 * 0.95) / COMPARISONS);
    expect(Math.abs(apartBy.known / COMPARISONS - 0.05)).toBeLessThan(threeErrors);
    expect(apartBy.ignored / COMPARISONS).toBeGreaterThan(0.5);
  });
});
