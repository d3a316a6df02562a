import { describe, expect, it } from 'vitest';
import { reportSchema } from '../../../../shared-lib/report/report-model.ts';
import { reportOfTrial, type TrialReportInput } from '../../../../shared-lib/report/report-of-trial.ts';
import type { TrialRecord } from '../../../../shared-lib/trial/trial-model.ts';
import {
  demoRunSheet,
  demoSession,
  enteredCalibration,
  guidedCalibration,
  reportContext,
  sectionOf,
  wordsOf,
} from '../../../helpers/scripted-reports.ts';
import { demoRecord, demoSetup } from '../../renderer/logbook/trial-samples.ts';

const tested: TrialRecord = {
  ...demoRecord,
  summary: { ...demoRecord.summary, setup: demoSetup },
  conditions: {
    ...demoRecord.conditions,
    setup: demoSetup,
    place: { runSheetId: 'sheet-1', entryId: 'a', index: 4, round: 2, repeat: 1, role: 'counted' },
    preparation: {
      packRestedV: 20.1,
      packTemperatureC: 24,
      toolTemperatureC: null,
      fastener: 'M20 bolt 3',
      fastenerPullsSinceNew: 7,
      lubricant: 'MoS2 paste',
      inletPressureKpa: null,
      hoseBoreMm: null,
      isCarriedOver: false,
    },
    restedS: 60,
    plannedRestS: 90,
  },
  decisions: [
    {
      decision: 'kept',
      reason: 'Kept by itself: quality good, figures not shown before.',
      figuresShown: false,
      operator: 'Ada',
      at: '2026-03-04T10:20:40.000Z',
    },
  ],
  annotations: [{ note: 'Bar crept.', tags: ['bar'], operator: 'Ada', at: '2026-03-04T11:00:00.000Z' }],
};

const input: TrialReportInput = {
  record: tested,
  session: demoSession,
  sheet: demoRunSheet(),
  calibration: enteredCalibration,
  calibrationLabel: () => null,
  charts: [],
};

describe('the report of a trial', () => {
  const report = reportOfTrial(input, reportContext);

  it('is what the contract asks for, with no heading that nothing stands below', () => {
    expect(reportSchema.parse(report)).toEqual(report);
    for (const { blocks } of report.sections) expect(blocks.length).toBeGreaterThan(0);
    expect(report.title).toBe('Hollin H5, pack 2, mode 3, impact socket 24');
    expect(report.isSimulated).toBe(true);
  });

  it('has every figure with its definition, and the reason where there is none', () => {
    const figures = sectionOf(report, 'Figures');
    expect(figures).toContain('Sustained torque | 412.3 N·m');
    expect(figures).toContain('Torque at 5 s | no figure | – | The record ends before 5 s.');
    expect(figures).toContain('Time to 600 N·m | not reached');
    expect(figures).toContain('it is compared with nothing');
  });

  it('says how it was pulled: setup, place, rest that was cut, lubricant, warm-up and order of the sheet', () => {
    const how = sectionOf(report, 'What was pulled, and how');
    expect(how).toContain('Pack: pack 2, 5.0 Ah');
    expect(how).toContain('Socket: impact socket 24, 0.31 kg, 78 mm');
    expect(how).toContain('Rest before: 60 s, 90 s planned: cut short');
    expect(how).toContain('Lubricant: MoS2 paste');
    expect(how).toContain('Warm-up: 1 pull with each setup before its first counted one');
    expect(how).toContain('Its chance: seed 20260304');
    const bench = sectionOf(report, 'Bench and surroundings');
    expect(bench).toContain('Rig note: new bushing');
    expect(bench).toContain('Air temperature: 21.5 °C');
    expect(bench).toContain('Relative humidity: not noted');
    expect(bench).toContain('Recorded with: Proofarm 0.1.0, definitions 1');
  });

  it('names the calibration with its uncertainty and the check before the trial, not the one after it', () => {
    expect(sectionOf(report, 'In short')).toContain(
      'Uncertainty of the sustained torque: ±2.06 N·m (±0.50 %), as it was entered for the calibration',
    );
    const calibration = sectionOf(report, 'Calibration');
    expect(calibration).toContain('Identity: calibration-1');
    expect(calibration).toContain('Daily check before: at 2026-03-04T08:00:00.000Z: passed');
    expect(calibration).not.toContain('18:00');
  });

  it('takes the uncertainty of a guided calibration at the torque that was held', () => {
    const guided = reportOfTrial({ ...input, calibration: guidedCalibration() }, reportContext);
    expect(sectionOf(guided, 'In short')).toMatch(
      /Uncertainty of the sustained torque: ±\d+\.\d+ N·m \(±0\.\d+ %\), coverage 95 %, by the calibration at bench time; how pulls scatter comes on top/,
    );
    expect(sectionOf(guided, 'Calibration')).toMatch(/Class, forward: Class [\d.]+ from/);
  });

  it('keeps the trail, the cautions and where the data are', () => {
    const trail = sectionOf(report, 'Who decided what, and when');
    expect(trail.indexOf('Decision (Ada): Kept by itself')).toBeLessThan(trail.indexOf('Note (Ada)'));
    const cautions = sectionOf(report, 'Cautions');
    expect(cautions).toContain('Static calibration; dynamic error not included.');
    expect(cautions).toContain('this specimen on this bench');
    expect(cautions).toContain('Simulated');
    expect(sectionOf(report, 'Where the data are')).toContain('This trial | demo-1 | data/trial.csv');
    expect(sectionOf(report, 'Safety')).toContain('competent person');
    expect(sectionOf(report, 'Safety')).toContain('The program cannot stop the tool.');
  });
});

describe('a trial that is not to be taken at its word', () => {
  it('says at the head that it was voided, by whom, why, and that its figures had been seen', () => {
    const voided: TrialRecord = {
      ...tested,
      summary: { ...tested.summary, isVoided: true },
      decisions: [
        ...tested.decisions,
        {
          decision: 'voided',
          reason: 'The socket slipped.',
          figuresShown: true,
          operator: 'Ada',
          at: '2026-03-05T08:00:00.000Z',
        },
      ],
    };
    const head = sectionOf(reportOfTrial({ ...input, record: voided }, reportContext), 'In short');
    expect(head).toContain('! Voided by Ada, after its figures were shown: The socket slipped.');
    expect(head).toContain('State: Voided');
  });

  it('says that a check cast doubt on it', () => {
    const suspect: TrialRecord = {
      ...tested,
      summary: {
        ...tested.summary,
        suspicion: { checkId: 2, failedAt: '2026-03-04T18:00:00.000Z', decision: null, reason: null },
      },
    };
    expect(wordsOf(reportOfTrial({ ...input, record: suspect }, reportContext))).toContain(
      '! The daily check of at 2026-03-04T18:00:00.000Z failed',
    );
  });

  it('has no figures where nobody may see them yet, and no uncertainty of none', () => {
    const hidden: TrialRecord = {
      ...tested,
      summary: { ...tested.summary, state: 'interrupted', sustainedTorqueNm: null, qualityVerdict: null },
      figures: null,
      interruption: 'disconnect',
    };
    const report = reportOfTrial({ ...input, record: hidden, session: null, sheet: null }, reportContext);
    expect(report.sections.map(({ heading }) => heading)).not.toContain('Figures');
    expect(sectionOf(report, 'In short')).toContain('! Interrupted: the amplifier was lost.');
    expect(wordsOf(report)).not.toContain('Uncertainty of the sustained torque');
  });
});

it('stands in foot-pounds where they were chosen, with sentences that are stored in both', () => {
  const report = reportOfTrial(input, { ...reportContext, torqueUnit: 'ftLbf' });
  expect(report.torqueUnit).toBe('ftLbf');
  expect(sectionOf(report, 'Figures')).toContain('Sustained torque | 304.1 ft·lbf');
});
