import { describe, expect, it } from 'vitest';
import type { Comparison } from '../../../../shared-lib/comparison/comparison-model.ts';
import { reportSchema } from '../../../../shared-lib/report/report-model.ts';
import {
  reportOfComparison,
  reportOfNotComparable,
} from '../../../../shared-lib/report/report-of-comparison.ts';
import type { TrialRecord } from '../../../../shared-lib/trial/trial-model.ts';
import {
  demoRunSheet,
  demoSession,
  enteredCalibration,
  reportContext,
  sectionOf,
} from '../../../helpers/scripted-reports.ts';
import { brindlow, comparison, hollin, tarnwick, trial } from '../../renderer/compare/compare-samples.ts';
import { demoRecord } from '../../renderer/logbook/trial-samples.ts';

const compared: Comparison = comparison({
  trials: [
    trial(tarnwick, 2, 499),
    trial(hollin, 1, 561),
    trial(hollin, 3, 470, { leftOutBecause: 'voided' }),
    trial(brindlow, 4, 400),
  ],
  others: [brindlow],
});

function recordOf(trialId: string, change: Partial<TrialRecord> = {}): TrialRecord {
  return { ...demoRecord, ...change, summary: { ...demoRecord.summary, ...change.summary, id: trialId } };
}

const kept = {
  decision: 'kept',
  reason: 'Kept by itself: quality good, figures not shown before.',
  figuresShown: false,
  operator: 'Ada',
  at: '2026-03-03T09:10:00.000Z',
} as const;

const records = compared.trials.map(({ trialId, leftOutBecause }) =>
  leftOutBecause === null
    ? recordOf(trialId, { decisions: [kept] })
    : recordOf(trialId, {
        summary: { ...demoRecord.summary, isVoided: true },
        decisions: [
          kept,
          {
            decision: 'voided',
            reason: 'The bolt turned.',
            figuresShown: true,
            operator: 'Grace',
            at: '2026-03-04T08:00:00.000Z',
          },
        ],
      }),
);

const report = reportOfComparison(
  {
    comparison: compared,
    records,
    sessions: [demoSession],
    sheets: [demoRunSheet()],
    calibrations: [enteredCalibration],
    calibrationLabel: () => null,
    charts: [],
  },
  reportContext,
);

describe('the report of a comparison', () => {
  it('is what the contract asks for', () => {
    expect(reportSchema.parse(report)).toEqual(report);
    expect(report.title).toBe('Hollin H5, pack 2 against Tarnwick T6, pack 1');
  });

  it('begins with the verdict sentence and its interval, marked as provisional', () => {
    const verdict = sectionOf(report, 'Verdict');
    expect(verdict.startsWith('Hollin H5 is ahead of Tarnwick T6.')).toBe(true);
    expect(verdict).toContain('Who holds more torque?: A ahead by at least 5 %, provisional');
    expect(verdict).toContain('A over B, 95 % interval: +12.0 % (+8.0 % to +16.0 %)');
    expect(verdict).toContain('Margin, fixed before the session: 5 %');
  });

  it('lists every trial in the order in which it was pulled, the voided one with its reason', () => {
    const trials = sectionOf(report, 'Every trial');
    const lines = trials.split('\n').filter((line) => /^\d+ \|/.test(line));
    expect(lines).toHaveLength(4);
    expect(lines[0]).toContain('A Hollin H5');
    expect(lines[0]).toContain('| 561.0 | counts');
    expect(lines[1]).toContain('B Tarnwick T6');
    expect(lines[2]).toContain('left out: voided: “The bolt turned.”, after its figures were shown');
    expect(lines[3]).toContain('Brindlow B4');
    expect(lines[3]).toContain('in the scatter only');
  });

  it('tells of decisions by the numbers of the trials, and counts those that nothing more was decided about', () => {
    const trail = sectionOf(report, 'Who decided what, and when');
    expect(trail).toContain('Of 4 trials 3 were kept and nothing else was ever decided about them.');
    expect(trail).toContain(
      'Trial 3. Decision (Grace): Voided, after its figures were shown: The bolt turned.',
    );
    expect(trail).not.toContain('Trial 1.');
  });

  it('gives each trial the identity that the data package has it by, under the same number', () => {
    const where = sectionOf(report, 'Where the data are');
    expect(where).toContain('Trial 1 | setup:hollin 1 | data/trial.csv');
    expect(where).toContain('Trial 3 | setup:hollin 3 | data/trial.csv');
    expect(where).toContain('Calibration “From the certificate (demo)” | calibration-1');
  });

  it('has the cautions of the comparison, the checkpoints and what the verdict rests on', () => {
    expect(sectionOf(report, 'Cautions')).toContain('Static calibration; dynamic error not included.');
    const rests = sectionOf(report, 'What the verdict rests on');
    expect(rests).toContain('2 s | +7.0 % (+2.0 % to +12.0 %) | Hollin H5');
    expect(rests).toContain('5 s | – | too few runs have a torque there');
    expect(rests).toContain('Effect size, Hedges’ g: With five runs each or more.');
  });

  it('says how the pulls were ordered and which trials count', () => {
    const method = sectionOf(report, 'What was measured, and how');
    expect(method).toContain('Which trials count: Statistics take in the kept trials of good quality');
    expect(method).toContain('Rounds: 3; a published result takes 5');
    expect(method).toContain('Reference tool: none, so a drift of the day would not show');
  });
});

it('publishes two that cannot be compared with the reasons, and without any figure', () => {
  const refused = reportOfNotComparable(
    { a: 'Hollin H5', b: 'Tarnwick T6' },
    { reasons: ['100 Sa/s against 1000 Sa/s.'] },
    reportContext,
  );
  expect(reportSchema.parse(refused)).toEqual(refused);
  expect(sectionOf(refused, 'In short')).toContain('! 100 Sa/s against 1000 Sa/s.');
});
