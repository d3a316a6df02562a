import { describe, expect, it } from 'vitest';
import { chartOfCalibration } from '../../../../shared-lib/charts/calibration-chart.ts';
import { basisNotes, uncertaintyWords } from '../../../../shared-lib/charts/chart-notes.ts';
import { deflectionPoints } from '../../../../shared-lib/calibration/residual-points.ts';
import { enteredCalibration, guidedCalibration } from '../../../helpers/scripted-reports.ts';

function runOf({ run }: ReturnType<typeof guidedCalibration>) {
  if (run === null) throw new Error('A guided calibration has its run');
  return run;
}

const dayOf = (instant: string) => instant.slice(0, 10);

describe('the picture of a calibration', () => {
  it('has what the fit leaves of every reading, in torque, beside what the calibration states', () => {
    const report = guidedCalibration();
    const chart = chartOfCalibration(report, { isSimulated: false, dayOf });
    expect(chart?.senses.map(({ label }) => label)).toEqual(['Forward', 'Reverse']);
    for (const [index, sense] of (chart?.senses ?? []).entries()) {
      const result = report.result?.senses[index];
      if (result === undefined) throw new Error('A sense without its result');
      expect(sense.points.length).toBeGreaterThan(0);
      expect(sense.limits).toHaveLength(result.steps.length);
      // The rig of this demo is straight: a torque is a deflection over the counts to a newton metre.
      expect(result).toMatchObject({ degree: 1, hasConstant: false });
      const countsPerNm = Math.abs(result.coefficients[0] ?? Number.NaN);
      const readings = deflectionPoints(runOf(report), result.sense);
      expect(sense.points).toHaveLength(readings.length);
      sense.points.forEach(({ torqueNm, residualNm }, place) => {
        const measuredNm = Math.abs(readings[place]?.deflectionCounts ?? Number.NaN) / countsPerNm;
        expect(residualNm).toBeCloseTo(measuredNm - torqueNm, 6);
      });
    }
  });

  it('is none where no guided run stands behind it', () => {
    expect(chartOfCalibration(enteredCalibration, { isSimulated: false, dayOf })).toBeNull();
  });
});

describe('what stands below a picture', () => {
  it('begins with calibration, days and rate, even where there is nothing', () => {
    expect(basisNotes({ records: [], calibrations: [], dayOf }, {})[0]).toBe('No calibration; pulled never.');
  });

  it('says a caution once, in its longer form', () => {
    const longer = 'Static calibration; dynamic error not included. That error does not cancel.';
    const notes = basisNotes(
      {
        records: [],
        calibrations: [{ label: 'March', madeAt: '2026-03-09T08:00:00Z', uncertaintyPercent: 0.5 }],
        dayOf,
      },
      { reading: ['Bars.'], cautions: [longer, longer] },
    );
    expect(notes.filter((note) => note.startsWith('Static'))).toEqual([longer]);
    expect(notes[0]).toBe('Calibration “March” of 2026-03-09, ±0.50\u202f% (95\u202f%); pulled never.');
  });

  it('names an uncertainty with the digits that it bears, or says that there is none', () => {
    expect([0.234, 1.26, null].map(uncertaintyWords)).toEqual([
      '±0.23\u202f% (95\u202f%)',
      '±1.3\u202f% (95\u202f%)',
      'no uncertainty stated',
    ]);
  });
});
