import './require-node.mjs';
import { loadDistributions } from '../main/calibration/cephes-distributions.ts';
import {
  type Coverage,
  everydayCoverage,
  flaggedShare,
  type FlagQuestion,
  textbookCoverage,
} from './coverage/study-coverage.ts';
import { describeMachine, type Figure, measureAndReport } from './measured-figures.ts';

/** `npm run coverage-study`: whether the stated uncertainty of a calibration holds what it says, on benches with known truth. */
const CALIBRATIONS = 2000;
const FLAGGED_RUNS = 500;
const LEAST_COVERAGE = 0.93;
const MOST_COVERAGE = 0.97;
const LEAST_FLAGGED = 0.95;

const distributions = await loadDistributions();
const percent = (share: number): number => Math.round(share * 1000) / 10;
const listed = (shares: readonly number[]): string =>
  shares.map((share) => percent(share).toFixed(1)).join(', ');

function coverageFigures(
  name: string,
  coverage: Coverage,
  most: number,
  what: string,
): Record<string, Figure> {
  const figure = (shares: readonly number[], isLimitedAbove: boolean, time: string): Figure => {
    const least = Math.min(...shares);
    return {
      value: percent(least),
      unit: '% of truths inside the 95 % interval, least of all steps',
      baseline: 95,
      limit: percent(LEAST_COVERAGE),
      met: least >= LEAST_COVERAGE && (!isLimitedAbove || Math.max(...shares) <= most),
      note: `${CALIBRATIONS} seeded calibrations with three mountings, six steps; ${what} Uncertainty ${time}; from the lowest step up: ${listed(shares)} %. Baseline: what the interval states.`,
    };
  };
  return {
    [name]: figure(coverage.atCalibration, true, 'at calibration time'),
    [`${name}.bench`]: figure(coverage.atBench, false, 'at bench time, of one reading in another mounting'),
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

await measureAndReport({
  folder: 'coverage',
  wanted: process.argv.slice(2),
  machine: () => Promise.resolve(describeMachine()),
  say: (line) => {
    process.stdout.write(`${line}\n`);
  },
  measurements: {
    everyday: {
      measure: () =>
        Promise.resolve(
          coverageFigures(
            'everyday',
            everydayCoverage(CALIBRATIONS, distributions),
            1,
            'weights of class M1 and an arm with limits, bent transducer, friction, drifting zero.',
          ),
        ),
    },
    normal: {
      measure: () =>
        Promise.resolve(
          coverageFigures(
            'normal',
            textbookCoverage(CALIBRATIONS, distributions),
            MOST_COVERAGE,
            'all inputs normal, straight transducer; at most 97 % too.',
          ),
        ),
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
  },
});
