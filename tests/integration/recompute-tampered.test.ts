import { beforeAll, describe, expect, it } from 'vitest';
import type { Measure, TrialFigures } from '../../shared-lib/trial/trial-model.ts';
import { expectFoundIn } from './recompute-support/expect-found.ts';
import { differences, type PackageInMemory } from './recompute-support/package-in-memory.ts';
import { makeSmallPackage } from './recompute-support/small-package.ts';
import { DIRECT } from './recompute-support/small-workshop.ts';

/**
 * Whoever wants a package to say something else than what was measured has to change something in it. Each test is one way to do
 * that: found by the checksums as it lies there, and by computing again where the checksums were made right as well.
 */
let whole: PackageInMemory;
const expectFound = (
  tamper: (files: PackageInMemory) => void,
  found: { readonly file: string; readonly told: RegExp },
): Promise<void> => expectFoundIn(whole, tamper, found);
let runCalibrationId = '';

beforeAll(async () => {
  ({ files: whole, runCalibrationId } = await makeSmallPackage());
});

function valueOf(measure: Measure): number {
  if ('value' in measure) return measure.value;
  throw new Error(`Nothing to be tampered with: ${measure.refused}`);
}

const trial = 'small-trial-5';
const counts = `data/counts/${trial}.csv`;
const isTrial = (row: Readonly<Record<string, string | null>>): boolean => row['id'] === trial;
const ofTrial = (row: Readonly<Record<string, string | null>>): boolean => row['trial_id'] === trial;

it('agrees in every figure as it was packed, from calibrations by entry and by a run to places', async () => {
  const report = await whole.recompute();
  expect(differences(report)).toEqual([]);
  for (const kind of [
    'calibrations',
    'daily checks',
    'figures of trials from raw counts',
    'comparisons',
    'what standings rest on',
    'points, totals and places',
    'ranges of places',
    'fingerprints',
    'lines of the table of figures',
  ]) {
    expect(report.counts.find(({ what }) => what === kind)?.agreeing, kind).toBeGreaterThan(0);
  }
});

describe('of what was measured, a package is caught with', () => {
  it('one raw count changed', () =>
    expectFound(
      (files) => files.rewrite(counts, (csv) => csv.replace(/\r\n2500,-?\d+\r\n/, '\r\n2500,2600000\r\n')),
      { file: counts, told: /trial small-trial-5, .*torque.*: the package says [\d.]+\u202fN·m; computed: / },
    ));

  it('a stretch of a record left out', () =>
    expectFound(
      (files) => files.rewrite(counts, (csv) => csv.replaceAll(/\r\n2[45]\d\d,-?\d+(?=\r\n)/g, '')),
      { file: counts, told: /small-trial-5, quality|small-trial-5, .*lost slots/ },
    ));

  it('the end of a record cut off', () =>
    expectFound(
      (files) => {
        const kept = 3500;
        files.rewrite(counts, (csv) =>
          csv
            .split('\r\n')
            .slice(0, kept + 1)
            .join('\r\n'),
        );
        files.changeRows('data/trial.csv', isTrial, () => ({ slot_count: String(kept) }));
        files.rewrite(`data/arrivals/${trial}.csv`, (csv) =>
          csv
            .split('\r\n')
            .filter((line) => line.startsWith('slot') || Number(line.split(',')[0]) < kept)
            .join('\r\n'),
        );
      },
      { file: counts, told: /small-trial-5/ },
    ));

  it('the counts of two trials exchanged', () =>
    expectFound(
      (files) => {
        const other = 'data/counts/small-trial-6.csv';
        let mine = '';
        files.rewrite(counts, (csv) => ((mine = csv), 'slot,counts\r\n'));
        let theirs = '';
        files.rewrite(other, (csv) => ((theirs = csv), mine));
        files.write(counts, theirs);
      },
      { file: counts, told: /small-trial-6, sustained torque/ },
    ));

  it('a zero moved', () =>
    expectFound(
      (files) =>
        files.changeRows('data/trial.csv', isTrial, ({ zero_counts }) => ({
          zero_counts: String(Number(zero_counts) - 20_000),
        })),
      { file: 'data/trial.csv', told: /small-trial-5, sustained torque, value: the package says/ },
    ));

  it('arrival times stretched, so that times come out shorter', () =>
    expectFound(
      (files) =>
        files.rewrite(`data/arrivals/${trial}.csv`, (csv) =>
          csv.replaceAll(/,(\d+)\r/g, (_line, us: string) => `,${Math.round(Number(us) * 0.98)}\r`),
        ),
      { file: `data/arrivals/${trial}.csv`, told: /small-trial-5, sample rate: the package says/ },
    ));

  it('the level of an onset moved', () =>
    expectFound((files) => files.changeRows('data/trial.csv', isTrial, () => ({ onset_level_nm: '60' })), {
      file: 'data/trial.csv',
      told: /small-trial-5, onset level: the package says 15\u202fN·m; computed: 60/,
    }));

  it('a figure raised, in the evaluation and in the table', () =>
    expectFound(
      (files) => {
        const raise = (value: number): string => String(value * 1.05);
        let raised = '';
        files.changeRows('data/trial_evaluation.csv', ofTrial, ({ figures_json }) => {
          const figures: TrialFigures = JSON.parse(figures_json ?? '');
          raised = raise(valueOf(figures.sustainedTorqueNm));
          figures.sustainedTorqueNm = { value: Number(raised) };
          return { figures_json: JSON.stringify(figures) };
        });
        files.changeRows('tables/trial-figures.csv', ofTrial, () => ({ sustained_torque_nm: raised }));
      },
      {
        file: 'data/trial_evaluation.csv',
        told: /trial small-trial-5, sustained torque, value: the package says (\d+\.\d+)\u202fN·m; computed: (?!\1)\d+/,
      },
    ));

  it('a torque in ft·lbf where N·m stand', () =>
    expectFound(
      (files) =>
        files.changeRows('data/trial_evaluation.csv', ofTrial, ({ figures_json }) => {
          const figures: TrialFigures = JSON.parse(figures_json ?? '');
          figures.finalTorqueNm = { value: valueOf(figures.finalTorqueNm) / 1.3558179483314004 };
          return { figures_json: JSON.stringify(figures) };
        }),
      { file: 'data/trial_evaluation.csv', told: /small-trial-5, final torque, value/ },
    ));

  it('a level of a time renamed', () =>
    expectFound(
      (files) =>
        files.changeRows('data/trial_evaluation.csv', ofTrial, ({ figures_json }) => ({
          figures_json: figures_json?.replace('"levelNm":200,', '"levelNm":210,') ?? '',
        })),
      { file: 'data/trial_evaluation.csv', told: /small-trial-5, time to level, 210, time/ },
    ));

  it('a verdict on quality made good', () =>
    expectFound(
      (files) =>
        files.changeRows('data/trial_evaluation.csv', ofTrial, ({ figures_json }) => {
          const figures: TrialFigures = JSON.parse(figures_json ?? '');
          figures.quality = { verdict: 'look', reasons: [] };
          return { figures_json: JSON.stringify(figures) };
        }),
      { file: 'data/trial_evaluation.csv', told: /small-trial-5, quality, verdict: the package says “look”/ },
    ));

  it('a figure changed in the table for people only', () =>
    expectFound(
      (files) => files.changeRows('tables/trial-figures.csv', ofTrial, () => ({ final_torque_nm: '999' })),
      {
        file: 'tables/trial-figures.csv',
        told: /trial-figures.csv, trial small-trial-5, final torque nm: the package says 999/,
      },
    ));
});

describe('of what it was measured with, a package is caught with', () => {
  const isDirect = (row: Readonly<Record<string, string | null>>): boolean => row['id'] === DIRECT;
  const isOfRun = (row: Readonly<Record<string, string | null>>): boolean => row['id'] === runCalibrationId;

  it('a gain changed that was entered', () =>
    expectFound(
      (files) =>
        files.changeRows('data/calibration.csv', isDirect, ({ forward_gain_nm_per_count }) => ({
          forward_gain_nm_per_count: String(Number(forward_gain_nm_per_count) * 1.02),
        })),
      { file: 'data/calibration.csv', told: /calibration-direct, .*forward, gain: the package says/ },
    ));

  it('a gain changed that came of a guided run', () =>
    expectFound(
      (files) =>
        files.changeRows('data/calibration.csv', isOfRun, ({ forward_gain_nm_per_count }) => ({
          forward_gain_nm_per_count: String(Number(forward_gain_nm_per_count) * 1.02),
        })),
      { file: 'data/calibration.csv', told: /Weights on the arm \(demo\)”, forward, gain: the package says/ },
    ));

  it('a point changed that was entered', () =>
    expectFound(
      (files) =>
        files.changeRows('data/calibration.csv', isDirect, ({ input_json }) => ({
          input_json: input_json?.replace('"torqueNm":1000', '"torqueNm":1020') ?? '',
        })),
      { file: 'data/calibration.csv', told: /calibration-direct, .*forward, gain/ },
    ));

  it('a reading of a run changed', () =>
    expectFound(
      (files) =>
        files.changeRows(
          'data/calibration_reading.csv',
          ({ reading_index }) => reading_index === '3',
          ({ mean_counts }) => ({ mean_counts: String(Number(mean_counts) + 40_000) }),
        ),
      { file: 'data/calibration_reading.csv', told: /Weights on the arm \(demo\)”, result/ },
    ));

  it('a weight of a run changed', () =>
    expectFound(
      (files) =>
        files.changeRows(
          'data/calibration_run.csv',
          () => true,
          ({ setup_json }) => ({ setup_json: setup_json?.replaceAll('"massKg":20', '"massKg":20.1') ?? '' }),
        ),
      { file: 'data/calibration_run.csv', told: /planned, 1, torque: the package says/ },
    ));

  it('a stated uncertainty made smaller', () =>
    expectFound(
      (files) =>
        files.changeRows('data/calibration.csv', isOfRun, ({ result_json }) => ({
          result_json: result_json?.replace(/"expandedNm":[\d.]+/, '"expandedNm":0.01') ?? '',
        })),
      { file: 'data/calibration.csv', told: /expanded: the package says 0\.01\u202fN·m/ },
    ));

  it('a daily check passed that had failed, or the other way round', () =>
    expectFound(
      (files) =>
        files.changeRows(
          'data/daily_check.csv',
          ({ verdict }) => verdict === 'passed',
          () => ({ verdict: 'failed' }),
        ),
      {
        file: 'data/daily_check.csv',
        told: /daily check of .*, verdict: the package says “failed”; computed: “passed”/,
      },
    ));

  it('an assignment to another calibration taken out', () =>
    expectFound(
      (files) =>
        files.changeRows(
          'data/calibration_assignment.csv',
          () => true,
          () => null,
        ),
      {
        file: 'data/calibration_assignment.csv',
        told: /calibration id: the package says “calibration-direct”/,
      },
    ));
});
