import './require-node.mjs';
import { distributionFunctions as distributions } from '../shared-lib/calibration/distribution-functions.ts';
import {
  type Coverage,
  everydayCoverage,
  flaggedShare,
  type FlagQuestion,
  onceMountedCoverage,
  oneWeightCoverage,
  textbookCoverage,
} from './coverage/study-coverage.ts';
import {
  falseVerdictsAcross,
  falseVerdictsWithin,
  foundVerdicts,
  placesOfEquals,
} from './coverage/comparison-figures.ts';
import { describeMachine, type Figure, measureAndReport, measureOneByOne } from './measured-figures.ts';

/**
 * `npm run coverage-study`: whether the stated uncertainty of a calibration, a verdict between two tools and a range of places hold
 * what they say, on benches with known truth.
 */
const CALIBRATIONS = 2000;
const FLAGGED_RUNS = 500;
const LEAST_COVERAGE = 0.93;
const MOST_COVERAGE = 0.97;
/** With two or three observations of a gain, t with Welch and Satterthwaite holds by itself only so much (see DEVELOPERS.md). */
const LEAST_OF_FEW = 0.9;
const LEAST_FLAGGED = 0.95;

const percent = (share: number): number => Math.round(share * 1000) / 10;
const listed = (shares: readonly number[]): string =>
  shares.map((share) => percent(share).toFixed(1)).join(', ');

function coverageFigures(
  name: string,
  coverage: Coverage,
  what: string,
  { least: leastShare = LEAST_COVERAGE, most = 1, benchTime = 'of one reading in another mounting' } = {},
): Record<string, Figure> {
  const figure = (shares: readonly number[], isLimitedAbove: boolean, time: string): Figure => {
    const least = Math.min(...shares);
    return {
      value: percent(least),
      unit: '% of truths inside the 95 % interval, least of all steps',
      baseline: 95,
      limit: percent(leastShare),
      met: least >= leastShare && (!isLimitedAbove || Math.max(...shares) <= most),
      note: `${CALIBRATIONS} seeded calibrations; ${what} Uncertainty ${time}; from the lowest step up: ${listed(shares)} %. Baseline: what the interval states.`,
    };
  };
  return {
    [name]: figure(coverage.atCalibration, true, 'at calibration time'),
    [`${name}.bench`]: figure(coverage.atBench, false, `at bench time, ${benchTime}`),
  };
}

function flagFigure(question: FlagQuestion, what: string): Figure {
  const { flagged, falseAlarms } = flaggedShare(FLAGGED_RUNS, question, distributions);
  return {
    value: percent(flagged),
    unit: '% of runs with this slip flagged',
    baseline: percent(falseAlarms),
    limit: percent(LEAST_FLAGGED),
    met: flagged >= LEAST_FLAGGED,
    note: `${FLAGGED_RUNS} runs: ${what} Baseline: the same finding in as many runs without it, in %.`,
  };
}

const say = (line: string): void => {
  process.stdout.write(`${line}\n`);
};
await measureAndReport({
  folder: 'coverage',
  wanted: process.argv.slice(2),
  machine: () => Promise.resolve(describeMachine()),
  say,
  measure: (chosen) => measureOneByOne(chosen, say),
  measurements: {
    everyday: {
      measure: () =>
        Promise.resolve(
          coverageFigures(
            'everyday',
            everydayCoverage(CALIBRATIONS, distributions),
            'three mountings of each sense, six steps; weights of class M1 and an arm with limits, bent transducer, friction, drifting zero.',
            { benchTime: 'of one reading in another mounting, rising or falling' },
          ),
        ),
    },
    normal: {
      measure: () =>
        Promise.resolve(
          coverageFigures(
            'normal',
            textbookCoverage(CALIBRATIONS, distributions),
            'three mountings of each sense, six steps; all inputs normal, straight transducer; at most 97 % too.',
            { most: MOST_COVERAGE },
          ),
        ),
    },
    short: {
      measure: () =>
        Promise.resolve({
          ...coverageFigures(
            'short.onceMounted',
            onceMountedCoverage('notRemountable', CALIBRATIONS, distributions),
            'the rig cannot be remounted; otherwise as everyday.',
            { least: LEAST_OF_FEW, benchTime: 'of one more series of the same mounting' },
          ),
          ...coverageFigures(
            'short.quick',
            onceMountedCoverage('quick', CALIBRATIONS, distributions),
            'the quick series, of a rig whose gain does not change from series to series; otherwise as everyday.',
            { least: LEAST_OF_FEW, benchTime: 'of one more series of the same mounting' },
          ),
          ...coverageFigures(
            'short.oneWeight',
            oneWeightCoverage(CALIBRATIONS, distributions),
            'one weight at two arm lengths; otherwise as everyday, without friction.',
            { least: LEAST_OF_FEW },
          ),
        }),
    },
    slips: {
      measure: () =>
        Promise.resolve({
          'slip.weight': flagFigure(
            { slip: { kind: 'slippedWeight', share: 0.01 }, codes: ['stray-reading'], series: 'full' },
            'one reading of a full series lacks 1 % of its load.',
          ),
          'slip.weightQuick': flagFigure(
            { slip: { kind: 'slippedWeight', share: 0.03 }, codes: ['stray-reading'], series: 'quick' },
            'one reading of a quick series lacks 3 % of its load.',
          ),
          'slip.armSlips': flagFigure(
            {
              slip: { kind: 'slippedArm', share: 0.005 },
              codes: ['slipped', 'gain-repeats', 'gain-mountings', 'stray-reading'],
              series: 'full',
            },
            'in mid-series the arm slips by 0.5 %, until it is mounted again.',
          ),
          'slip.gainDrift': flagFigure(
            {
              slip: { kind: 'gainDrift', sharePerReading: 0.0001 },
              codes: ['gain-trend', 'gain-mountings', 'gain-repeats'],
              series: 'full',
            },
            'the gain drifts by 0.01 % from reading to reading.',
          ),
          'slip.drift': flagFigure(
            { slip: { kind: 'drift', shareOfTop: 0.03 }, codes: ['zero-moved'], series: 'full' },
            'the zero drifts by 3 % of the top deflection over the run.',
          ),
          'slip.armInUse': flagFigure(
            {
              slip: { kind: 'wrongArm', relative: 0.01 },
              codes: ['gain-changed'],
              series: 'full',
              hasCalibrationInUse: true,
            },
            'the arm is 1 % longer than entered, and a calibration is in use. Without one a full series on one arm cannot show it.',
          ),
          'slip.armTwoLengths': flagFigure(
            { slip: { kind: 'wrongArm', relative: 0.01 }, codes: ['arms-disagree'], series: 'twoArmLengths' },
            'the longer of two arms is 1 % longer than entered.',
          ),
        }),
    },
    within: { measure: () => Promise.resolve(falseVerdictsWithin(distributions)) },
    across: { measure: () => Promise.resolve(falseVerdictsAcross(distributions)) },
    found: { measure: () => Promise.resolve(foundVerdicts(distributions)) },
    places: { measure: () => Promise.resolve(placesOfEquals(distributions)) },
  },
});
