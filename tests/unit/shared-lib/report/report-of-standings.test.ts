import { describe, expect, it } from 'vitest';
import { reportSchema } from '../../../../shared-lib/report/report-model.ts';
import {
  reportOfStandings,
  type StandingsReportInput,
} from '../../../../shared-lib/report/report-of-standings.ts';
import { trialMeasureKey } from '../../../../shared-lib/standings/measure-keys.ts';
import type { ScoredTrial, StandingsInput } from '../../../../shared-lib/standings/standings-model.ts';
import { reportContext, sectionOf } from '../../../helpers/scripted-reports.ts';
import {
  demoContender,
  demoNotRanked,
  demoRanges,
  demoScheme,
  demoStandings,
  demoTable,
  forward5,
} from '../../../helpers/scripted-standings.ts';
import { demoRecord } from '../../renderer/logbook/trial-samples.ts';

function scored(minute: number, change: Partial<ScoredTrial> = {}): ScoredTrial {
  return {
    trialId: `trial-${minute}`,
    key: demoContender('Hollin H5').key,
    sessionId: 'session-1',
    startedAt: new Date(Date.UTC(2026, 2, 4, 10, 0, minute)).toISOString(),
    evaluationId: minute,
    calibrationId: 'calibration-1',
    direction: 'forward',
    values: [{ measure: 0, value: 400 + minute }],
    leftOutBecause: null,
    ...change,
  };
}

function inputOf(trials: ScoredTrial[]): StandingsInput {
  return {
    table: demoTable,
    schemes: [demoScheme],
    measures: [trialMeasureKey({ step: forward5, measure: { figure: 'sustainedTorque' } })],
    subjects: [
      {
        contender: demoContender('Hollin H5'),
        toolClass: 'impactWrench',
        driveSize: null,
        supply: 'battery',
        properties: [
          {
            property: 'priceKit',
            value: 199,
            missing: null,
            source: '199 EUR, kit, 2026-03-01, invented shop',
            standardError: null,
          },
        ],
        notRankedBecause: null,
      },
    ],
    trials,
    rates: [],
    calibrations: [{ calibrationId: 'calibration-1', label: 'Weights (demo)', uncertainty: null }],
    dayToDay: [null],
  };
}

const standings = demoStandings({
  notRanked: [demoNotRanked('Corvane C8', ['No price is known.'])],
  cautions: ['For tighten forward 5 s it holds for Demo transducer, 1000 Sa/s.'],
});

const live: StandingsReportInput = {
  input: inputOf([scored(2), scored(1), scored(3, { leftOutBecause: 'voided' })]),
  standings,
  placeRanges: demoRanges(standings, 3),
  edition: null,
  voided: [
    {
      ...demoRecord,
      summary: { ...demoRecord.summary, id: 'trial-3', isVoided: true },
      decisions: [
        {
          decision: 'voided',
          reason: 'Loose bar.',
          figuresShown: true,
          operator: 'Ada',
          at: '2026-03-05T08:00:00.000Z',
        },
      ],
    },
  ],
  charts: [],
};

describe('the report of a table', () => {
  const report = reportOfStandings(live, reportContext);

  it('is what the contract asks for', () => {
    expect(reportSchema.parse(report)).toEqual(report);
    expect(report.title).toBe('Impact wrenches (demo)');
  });

  it('gives each place its range, who is not told apart, and how the draws were made', () => {
    const places = sectionOf(report, 'Standings');
    expect(places).toContain('1 | (1 to 3) | Hollin H5, pack 2 | 99.0 | Tarnwick T6 and Brindlow B4');
    expect(places).toContain('10 000 draws from the seed 1');
  });

  it('says what each place came from, by which rules, and where what was not measured comes from', () => {
    expect(sectionOf(report, 'What each place came from')).toContain('400.0 N·m');
    expect(sectionOf(report, 'The rules')).toContain('1 point for each 10.0 N·m');
    expect(sectionOf(report, 'What was not measured here')).toContain(
      '199 EUR, kit, 2026-03-01, invented shop',
    );
    expect(sectionOf(report, 'Not ranked')).toContain('Corvane C8 | No price is known.');
  });

  it('lists every trial with its value, the voided one with its reason', () => {
    const lines = sectionOf(report, 'Every trial').split('\n').slice(3);
    expect(lines[0]).toContain('1 | at 2026-03-04T10:00:01.000Z | Hollin H5, pack 2');
    expect(lines[0]).toContain('sustained torque 401.0 N·m');
    expect(lines[2]).toContain('left out: voided: “Loose bar.”, after its figures were shown');
  });

  it('is found in the data package by the identity of the table', () => {
    expect(sectionOf(report, 'Where the data are')).toContain(
      'This table | table-1 | published/standings.json',
    );
  });
});

describe('the report of an edition', () => {
  const report = reportOfStandings(
    {
      ...live,
      edition: {
        summary: {
          id: 'edition-1',
          tableId: 'table-1',
          name: 'Spring (demo)',
          note: 'As shown in the video.',
          operator: 'Ada',
          createdAt: '2026-03-20T12:00:00.000Z',
          definitionVersion: 2,
          softwareVersion: '0.0.9',
          fingerprint: 'f'.repeat(64),
        },
        sinceThen: ['Voided since: 1 trial of Hollin H5.'],
      },
    },
    reportContext,
  );

  it('carries its fingerprint, who froze it and with which program', () => {
    expect(report.title).toBe('Impact wrenches (demo), Spring (demo)');
    expect(sectionOf(report, 'Where the data are')).toContain('f'.repeat(64));
    expect(sectionOf(report, 'What computed it')).toContain('frozen by Proofarm 0.0.9');
    expect(sectionOf(report, 'Who decided what, and when')).toContain(
      'Edition “Spring (demo)” frozen (Ada): As shown in the video.',
    );
  });

  it('says what became of its trials since, and that its figures stay', () => {
    const since = sectionOf(report, 'Since then');
    expect(since).toContain('! The figures of this edition stay as they were frozen.');
    expect(since).toContain('Voided since: 1 trial of Hollin H5.');
  });
});

it('lists those that are left out where there are too many to list all, and says where the others are', () => {
  const trials = [
    ...Array.from({ length: 1200 }, (_, index) => scored(index)),
    scored(5000, { leftOutBecause: 'interrupted' }),
  ];
  const report = reportOfStandings({ ...live, input: inputOf(trials), voided: [] }, reportContext);
  const words = sectionOf(report, 'Every trial');
  expect(words).toContain('1200 trials count, 1 is left out.');
  expect(words).toContain('the data package of the same table has each of them');
  expect(words).toContain('left out: interrupted');
  expect(words.split('\n').length).toBeLessThan(10);
});

it('stands for a table that ranks nobody', () => {
  const none = demoStandings({ rows: [] });
  const report = reportOfStandings(
    { ...live, standings: none, placeRanges: { ...demoRanges(none, 0), criticalValue: null, drawCount: 0 } },
    reportContext,
  );
  expect(reportSchema.parse(report)).toEqual(report);
  expect(sectionOf(report, 'Standings')).toContain('Nobody is ranked yet.');
});
