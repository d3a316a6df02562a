import { describe, expect, it } from 'vitest';
import { readReplayed } from '../../../../../renderer/share/replay/read-replayed.ts';
import { replayChart } from '../../../../../renderer/share/replay/replay-chart.ts';
import type { ReplayedTrial } from '../../../../../renderer/share/replay/replayed-trial.ts';
import type { CurveChart } from '../../../../../shared-lib/charts/chart-model.ts';
import { drawChart } from '../../../../../shared-lib/charts/draw-chart.ts';
import type { TrialRecord, TrialSummary } from '../../../../../shared-lib/trial/trial-model.ts';
import { demoSettings, demoTrialCurve, readyStatus } from '../../../../helpers/scripted-bench.ts';
import { ScriptedConnection } from '../../../../helpers/scripted-connection.ts';
import { enteredCalibration } from '../../../../helpers/scripted-reports.ts';
import { textsOf } from '../../../../helpers/texts-of-picture.ts';
import { demoRecord } from '../../logbook/trial-samples.ts';

const dayOf = (instant: string) => instant.slice(0, 10);
const march = { label: 'March', madeAt: '2026-03-01T08:00:00.000Z', uncertaintyPercent: 0.5 };
const failed = { checkId: 3, failedAt: '2026-03-05T08:00:00.000Z', decision: null, reason: null };

interface Change {
  readonly summary?: Partial<TrialSummary>;
  readonly rateHz?: number;
  readonly calibrationId?: string;
  readonly calibration?: ReplayedTrial['calibration'];
  readonly isSlow?: boolean;
}

function replayed(toolName: string, change: Change = {}): ReplayedTrial {
  const { summary, conditions } = demoRecord;
  const step = { ...summary.step, toolName };
  const curve = demoTrialCurve(toolName, 400);
  const none = { displayNm: new Float64Array(), displayTimeS: new Float64Array() };
  return {
    record: {
      ...demoRecord,
      summary: { ...summary, id: toolName, step, ...change.summary },
      conditions: {
        ...conditions,
        calibrationId: change.calibrationId ?? 'calibration-1',
        profile: { ...conditions.profile, nominalRateHz: change.rateHz ?? 1000 },
      },
    },
    curve: { ...curve, ...(change.isSlow === true ? none : {}) },
    calibration: change.calibration ?? march,
  };
}

const notesOf = (...trials: readonly ReplayedTrial[]) =>
  replayChart(trials, dayOf).notes.map((note) => note.replaceAll('\u202f', ' '));

describe('what stands below a replay', () => {
  it('is what stands below every picture: calibration, its day and uncertainty, days and rate, and that it is a demo', () => {
    expect(notesOf(replayed('Hollin H5'), replayed('Tarnwick T6'))).toEqual([
      'n: 2 runs, a curve each.',
      'Calibration “March” of 2026-03-01, ±0.50 % (95 %); pulled 2026-03-04; 1000 Sa/s.',
      'Simulated: a demo with a computed bench; no real tool is behind it.',
      'Static calibration; dynamic error not included.',
      'Curves and the torque beside them are low-passed at 20 Hz for the eye.',
    ]);
  });

  it('names each calibration once', () => {
    const may = { label: 'May', madeAt: '2026-05-02T08:00:00.000Z', uncertaintyPercent: null };
    const notes = notesOf(
      replayed('Hollin H5'),
      replayed('Tarnwick T6', { calibrationId: 'calibration-2', calibration: may }),
      replayed('Brindlow B4'),
    );
    expect(notes.join(' ')).toContain(
      'Calibrations “March” of 2026-03-01, ±0.50 % (95 %) and “May” of 2026-05-02, no uncertainty stated; pulled',
    );
  });

  it('does not leave out what speaks against a run', () => {
    const notes = notesOf(
      replayed('Hollin H5', { summary: { isVoided: true } }),
      replayed('Tarnwick T6', { summary: { suspicion: failed, qualityVerdict: 'look' } }),
      replayed('Brindlow B4', { summary: { qualityVerdict: 'notUsable' }, rateHz: 500 }),
    );
    expect(notes).toEqual(
      expect.arrayContaining([
        'Voided runs are among them; they do not count.',
        'Quality of Tarnwick T6: look at it.',
        'Quality of Brindlow B4: not usable.',
        '1 of 3 marked suspect: a daily check failed after it.',
        'Pulled at different rates, so not like for like.',
      ]),
    );
    const alone = notesOf(replayed('Hollin H5', { summary: { isVoided: true, qualityVerdict: 'look' } }));
    expect(alone.slice(0, 3)).toEqual(['Voided: it does not count.', 'Quality: look at it.', 'n: 1 run.']);
  });

  it('says how the curves are drawn, and of a low-pass only where there is one', () => {
    const [fast, slow] = [replayed('Hollin H5'), replayed('Tarnwick T6', { isSlow: true })];
    expect(notesOf(slow).at(-1)).toBe(
      'Curves and the torque beside them are not low-passed, since the rate is too low: drawn is the middle of the least and the greatest sample of each instant.',
    );
    expect(notesOf(fast, slow).at(-1)).toBe(
      'Curves and the torque beside them are low-passed at 20 Hz for the eye, but for Tarnwick T6, where the rate is too low: drawn is the middle of the least and the greatest sample of each instant.',
    );
    const { curves } = replayChart([slow], dayOf);
    expect(curves[0]?.torqueNm[300]).toBeCloseTo(
      ((slow.curve.minNm[300] ?? Number.NaN) + (slow.curve.maxNm[300] ?? Number.NaN)) / 2,
      9,
    );
  });

  it('is in every frame of a film of five, whatever its format', () => {
    const names = ['Hollin H5', 'Tarnwick T6', 'Brindlow B4', 'Corvane C8', 'Ostrel O6'];
    const chart: CurveChart = replayChart(
      names.map((name) => replayed(name)),
      dayOf,
    );
    for (const format of ['wide', 'square', 'upright'] as const) {
      const picture = drawChart(chart, { format, theme: 'dark', torqueUnit: 'Nm' }, { untilS: 1 });
      const said = textsOf(picture)
        .map(({ text }) => text)
        .join(' ')
        .replaceAll(/\s/g, ' ');
      for (const note of chart.notes) expect(said).toContain(note.replaceAll(/\s/g, ' '));
      expect(said).toContain('demo, simulated');
    }
  });
});

describe('the trials of a replay', () => {
  it('are read with the calibration that they are read by now, not the one they were made with', async () => {
    const connection = new ScriptedConnection(readyStatus, demoSettings);
    const assigned: TrialRecord = {
      ...demoRecord,
      assignments: [
        { calibrationId: 'later', label: 'Later', reason: 'Reported late (demo).', operator: 'Ada', at: '' },
      ],
    };
    connection.answer('getTrial', ({ trialId }) => (trialId === 'assigned' ? assigned : demoRecord));
    connection.answer('getTrialCurve', ({ trialId }) => demoTrialCurve(trialId, 400));
    connection.answer('getCalibrationReport', ({ calibrationId }) => ({
      ...enteredCalibration,
      version: { ...enteredCalibration.version, label: calibrationId, enteredUncertaintyPercent: 0.7 },
    }));
    const trials = await readReplayed(connection, ['as made', 'assigned']);
    expect(trials.map(({ curve, calibration }) => [curve.trialId, calibration])).toEqual([
      ['as made', expect.objectContaining({ label: 'calibration-1', uncertaintyPercent: 0.7 })],
      ['assigned', expect.objectContaining({ label: 'later' })],
    ]);
  });
});
