import { describe, expect, it } from 'vitest';
import { reportSchema } from '../../../../shared-lib/report/report-model.ts';
import { reportOfSession } from '../../../../shared-lib/report/report-of-session.ts';
import type { TrialRecord } from '../../../../shared-lib/trial/trial-model.ts';
import {
  demoRunSheet,
  demoSession,
  enteredCalibration,
  reportContext,
  sectionOf,
} from '../../../helpers/scripted-reports.ts';
import { demoRecord, demoSetup } from '../../renderer/logbook/trial-samples.ts';

function recordAt(minute: number, change: Partial<TrialRecord['summary']> = {}): TrialRecord {
  const startedAt = new Date(Date.UTC(2026, 2, 4, 10, minute)).toISOString();
  return {
    ...demoRecord,
    summary: { ...demoRecord.summary, id: `trial-${minute}`, startedAt, setup: demoSetup, ...change },
    conditions: { ...demoRecord.conditions, restedS: minute === 0 ? null : 95 },
  };
}

const nothing = {
  sheets: [],
  calibrations: [],
  calibrationLabel: () => null,
  charts: [],
};

describe('the report of a session', () => {
  const report = reportOfSession(
    {
      ...nothing,
      session: demoSession,
      records: [
        recordAt(0),
        recordAt(2),
        {
          ...recordAt(4, { isVoided: true }),
          decisions: [
            {
              decision: 'voided',
              reason: 'Wrong battery.',
              figuresShown: false,
              operator: 'Ada',
              at: '2026-03-04T10:30:00.000Z',
            },
          ],
        },
      ],
      sheets: [demoRunSheet()],
      calibrations: [enteredCalibration],
    },
    reportContext,
  );

  it('is what the contract asks for', () => {
    expect(reportSchema.parse(report)).toEqual(report);
    expect(report.subtitle).toBe('3 trials: 2 kept, 1 voided');
  });

  it('lists every trial with its rest, and the voided one with its reason', () => {
    const lines = sectionOf(report, 'Every trial').split('\n').slice(2);
    expect(lines).toHaveLength(3);
    expect(lines[1]).toContain('| 95 s | 412.3 | Good | Kept');
    expect(lines[2]).toContain('Voided: “Wrong battery.”, before its figures were shown');
  });

  it('tells what was skipped, that no reference tool showed the day, and what is not declared', () => {
    expect(sectionOf(report, 'Skipped')).toContain('The battery was empty (demo).');
    expect(sectionOf(report, 'Drift over the session')).toContain(
      'No reference tool was pulled often enough',
    );
    const exposure = sectionOf(report, 'Trigger time, vibration and noise');
    expect(exposure).toContain('Hollin H5 | 3 | 15 s');
    expect(exposure).toContain('not declared');
    expect(exposure).toContain('2002/44/EC');
  });
});

it('stands for a session without any trial too, and says that nothing was pulled', () => {
  const { summary } = demoSession;
  const empty = reportOfSession(
    {
      ...nothing,
      session: {
        ...demoSession,
        summary: { ...summary, trialCount: 0, keptCount: 0, voidedCount: 0 },
        skipped: [],
        exposure: { ...demoSession.exposure, tools: [], triggerS: 0, sentences: [] },
      },
      records: [],
    },
    reportContext,
  );
  expect(reportSchema.parse(empty)).toEqual(empty);
  expect(sectionOf(empty, 'Results')).toContain('Nothing was pulled in this session.');
  expect(sectionOf(empty, 'Every trial')).toBe('No trial has ended in this session.');
  expect(empty.sections.map(({ heading }) => heading)).not.toContain('Calibration');
});

it('numbers two hundred trials and gives each its identity', () => {
  const records = Array.from({ length: 200 }, (_, index) => recordAt(index));
  const long = reportOfSession(
    { ...nothing, session: demoSession, records, calibrations: [enteredCalibration] },
    reportContext,
  );
  expect(sectionOf(long, 'Every trial')).toContain('\n200 | ');
  expect(sectionOf(long, 'Where the data are')).toContain('Trial 200 | trial-199 | ');
});
