import { describe, expect, it } from 'vitest';
import { reportSchema } from '../../../../shared-lib/report/report-model.ts';
import { reportOfCalibration } from '../../../../shared-lib/report/report-of-calibration.ts';
import {
  enteredCalibration,
  guidedCalibration,
  reportContext,
  sectionOf,
} from '../../../helpers/scripted-reports.ts';

describe('the report of a guided calibration', () => {
  const calibration = guidedCalibration();
  const report = reportOfCalibration(
    {
      calibration,
      transducer: { name: 'Demo transducer', capacityNm: 250, isSimulated: false },
      amplifierName: null,
      charts: [],
    },
    reportContext,
  );

  it('is what the contract asks for, and no demonstration where the transducer is real', () => {
    expect(reportSchema.parse(report)).toEqual(report);
    expect(report.isSimulated).toBe(false);
  });

  it('says class, uncertainty and budget for each sense, as the result has them', () => {
    for (const [sense, heading] of [
      ['forward', 'Forward'],
      ['reverse', 'Reverse'],
    ] as const) {
      const words = sectionOf(report, heading);
      const result = calibration.result?.senses.find((one) => one.sense === sense);
      expect(words).toContain(`Class ${String(result?.classification.reached)}`);
      expect(words).toContain('at bench time, coverage 95 %');
      for (const { source } of result?.steps.at(-1)?.terms ?? []) expect(words).toContain(source);
    }
  });

  it('marks the rules of which no copy was at hand', () => {
    expect(sectionOf(report, 'Rules from memory')).toContain('Class limits. Limits as remembered');
  });

  it('has the standards, and every reading with the one that a redo replaced', () => {
    expect(sectionOf(report, 'Standards used')).toContain('disc 1');
    const readings = sectionOf(report, 'All readings');
    const { run } = calibration;
    expect(readings).toContain(`${String(run?.taken.length)} readings, 1 replaced by a redo.`);
    expect(readings).toContain('Replaced by a redo. Taken by key.');
    expect(readings.split('\n')).toHaveLength(2 + (run?.taken.length ?? 0) + 1);
  });

  it('is static, no certificate, and found by its identity', () => {
    expect(sectionOf(report, 'Cautions')).toContain('no accredited certificate');
    expect(sectionOf(report, 'Where the data are')).toContain('Its run | run-1 | data/calibration_run.csv');
  });
});

it('tells of a calibration that was typed what it is worth, with its checks and why it was superseded', () => {
  const report = reportOfCalibration(
    { calibration: enteredCalibration, transducer: null, amplifierName: null, charts: [] },
    reportContext,
  );
  expect(reportSchema.parse(report)).toEqual(report);
  expect(sectionOf(report, 'In short')).toContain('is what was typed; the program has not found it');
  expect(sectionOf(report, 'In short')).toContain('! Static calibration; dynamic error not included.');
  expect(sectionOf(report, 'What was entered')).toContain('Known torque, forward: 1000 N·m');
  expect(sectionOf(report, 'How long it holds')).toContain('Calibrated with weights.');
  expect(sectionOf(report, 'Daily checks since')).toContain('Failed | 2.29 | ± 0.28');
});
