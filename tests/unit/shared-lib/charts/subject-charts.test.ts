import { describe, expect, it } from 'vitest';
import { chartOfCalibration } from '../../../../shared-lib/charts/calibration-chart.ts';
import { chartOfStandings } from '../../../../shared-lib/charts/standings-chart.ts';
import type { StandingsInput } from '../../../../shared-lib/standings/standings-model.ts';
import { demoNotRanked, demoRanges, demoStandings } from '../../../helpers/scripted-standings.ts';
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

describe('the picture of standings', () => {
  const standings = demoStandings({
    notRanked: [demoNotRanked('Ostrel O6', ['No price is known.'])],
    cautions: ['A share of the best moves when a better tool comes in.'],
  });
  const trial: Omit<StandingsInput['trials'][number], 'trialId' | 'leftOutBecause'> = {
    key: 'name:hollin h5',
    sessionId: 'session-1',
    startedAt: '2026-03-04T09:00:00.000Z',
    evaluationId: 1,
    calibrationId: 'calibration-1',
    direction: 'forward',
    values: [],
  };
  const input: StandingsInput = {
    table: standings.table,
    schemes: [standings.scheme],
    measures: [],
    subjects: [],
    trials: [
      { ...trial, trialId: 'a', leftOutBecause: null },
      { ...trial, trialId: 'b', leftOutBecause: null, startedAt: '2026-03-06T09:00:00.000Z' },
      { ...trial, trialId: 'c', leftOutBecause: 'voided' },
    ],
    rates: [],
    calibrations: [
      { calibrationId: 'calibration-1', label: 'March', uncertainty: 0.0025 },
      { calibrationId: 'of-no-trial', label: 'Old', uncertainty: null },
    ],
    dayToDay: [],
  };
  const drawn = {
    standings,
    input,
    placeRanges: demoRanges(standings, 2),
    when: 'Edition “Spring”, frozen on 2026-03-20',
    dayOf,
  };

  it('has places with their ranges and points by terms, and says what counts', () => {
    const chart = chartOfStandings(drawn);
    expect(
      chart.rows.map(({ label, place, bestPlace, worstPlace }) => [label, place, bestPlace, worstPlace]),
    ).toEqual([
      ['Hollin H5, pack 2', 1, 1, 2],
      ['Tarnwick T6', 2, 1, 2],
      ['Brindlow B4', 3, 1, 2],
    ]);
    expect(chart.rows[0]?.terms).toEqual([
      { label: 'Torque', points: 40 },
      { label: 'Price of the kit', points: 50 },
    ]);
    expect(chart.subtitle).toBe(
      'Edition “Spring”, frozen on 2026-03-20; scheme “Torque and price (demo)”, version 2',
    );
    expect(chart.notes.slice(0, 2)).toEqual([
      'n: 2 trials of 2026-03-04 to 2026-03-06; 1 left out. 1 not ranked.',
      // A standard uncertainty of 0.25 %, twice.
      'Calibration: “March” ±0.50\u202f% (95\u202f%).',
    ]);
    expect(chart.notes).toContain('A share of the best moves when a better tool comes in.');
    expect(chart.notes.join(' ')).toContain('Simulated');
  });

  it('says why there are no ranges where there are none', () => {
    const none = { ...drawn.placeRanges, ranges: [], sentences: ['Too little is known of the scatter.'] };
    const chart = chartOfStandings({ ...drawn, placeRanges: none });
    expect(chart.rows.map(({ bestPlace }) => bestPlace)).toEqual([null, null, null]);
    expect(chart.notes).toContain('Too little is known of the scatter.');
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
