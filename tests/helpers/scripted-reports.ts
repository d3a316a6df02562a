import { simulateRun } from '../../scripts/coverage/simulate-run.ts';
import { distributionFunctions } from '../../shared-lib/calibration/distribution-functions.ts';
import { evaluateRun } from '../../shared-lib/calibration/evaluate-run.ts';
import type { CalibrationReport } from '../../shared-lib/report/calibration-in-short.ts';
import type { ReportContext } from '../../shared-lib/report/report-context.ts';
import type { Report, ReportBlock } from '../../shared-lib/report/report-model.ts';
import { readyMadePlans } from '../../shared-lib/run-sheet/ready-made-plans.ts';
import type { RunSheet } from '../../shared-lib/run-sheet/run-sheet-model.ts';
import type { SessionReport } from '../../shared-lib/run-sheet/session-model.ts';
import { createSeededRandom } from '../../shared-lib/simulation/seeded-random.ts';
import { demoSetup as demoRunSetup } from './run-setups.ts';
import { demoCheck, demoEnteredVersion, demoVersion } from './scripted-calibration.ts';
import { demoEntry } from './scripted-sheet.ts';

/** Invented (demo) parts that reports are built from. */
export const reportContext: ReportContext = {
  torqueUnit: 'Nm',
  madeAt: '2026-04-03T09:00:00.000Z',
  softwareVersion: '0.1.0',
  definitionVersion: 2,
  benchName: 'Demo bench',
  formatInstant: (instant) => `at ${instant}`,
};

export const enteredCalibration: CalibrationReport = {
  version: { ...demoEnteredVersion, id: 'calibration-1' },
  run: null,
  result: null,
  checks: [
    demoCheck(1, 0.2, { at: '2026-03-04T08:00:00.000Z' }),
    demoCheck(2, 9, { at: '2026-03-04T18:00:00.000Z', verdict: 'failed' }),
  ],
  trialCount: 12,
  madeWithCount: 12,
};

/** Three mountings, both senses, a class: simulated with a seed. */
export function guidedCalibration(): CalibrationReport {
  const setup = demoRunSetup(6, {
    series: 'full',
    senses: ['forward', 'reverse'],
    exercises: 3,
    dwellS: 30,
  });
  const run = simulateRun(
    setup,
    {
      countsPerNm: 4000,
      bend: 0,
      mountingScatter: 0.0002,
      noiseCounts: 20,
      fluctuationCounts: 10,
      reversibility: 0.0005,
      driftCounts: 0,
    },
    { kind: 'none' },
    createSeededRandom(3, 0),
  );
  const result = evaluateRun(
    { setup, readings: run.readings, taken: run.taken, overrides: [], capacityNm: 250 },
    distributionFunctions,
  );
  const [first] = run.taken;
  return {
    version: { ...demoVersion, id: 'calibration-1', label: 'Weights on the arm', runId: 'run-1' },
    run: {
      id: 'run-1',
      transducerId: 'transducer-1',
      amplifierId: null,
      isSimulated: false,
      setup,
      readings: [...run.readings],
      taken: [...run.taken],
      replaced: first === undefined ? [] : [{ ...first, id: 9999, by: 'key' }],
      state: 'accepted',
      nextIndex: null,
      operator: 'Demo operator',
      startedAt: '2026-03-01T08:00:00.000Z',
    },
    result,
    checks: [],
    trialCount: 3,
    madeWithCount: 3,
  };
}

export const demoSession: SessionReport = {
  summary: {
    id: 'session-1',
    startedAt: '2026-03-04T09:00:00.000Z',
    endedAt: '2026-03-04T12:00:00.000Z',
    operator: 'Demo operator',
    transducerName: 'Demo transducer',
    isSimulated: true,
    trialCount: 3,
    keptCount: 2,
    voidedCount: 1,
    interruptedCount: 0,
  },
  conditions: { rigNote: 'new bushing', ambientC: 21.5, relativeHumidityPercent: null, airPressureHpa: 1013 },
  safetyConfirmedAt: null,
  qualityGate: 'goodAndLook',
  setups: [],
  voided: [],
  skipped: [{ label: 'Hollin H5, reverse, run 3 of 3', reason: 'The battery was empty (demo).' }],
  zeroDrift: null,
  referenceDrift: null,
  exposure: {
    triggerS: 15,
    tools: [
      { toolName: 'Hollin H5', triggerS: 15, pullCount: 3, vibrationMps2: null, noiseDbA: 101, points: null },
    ],
    points: 0,
    a8Mps2: 0,
    knownTriggerS: 0,
    noiseLex8hDbA: null,
    state: 'below',
    sentences: ['No vibration is declared for Hollin H5.'],
  },
};

export function demoRunSheet(): RunSheet {
  const [plan] = readyMadePlans;
  if (plan === undefined) throw new Error('There are ready-made plans.');
  return {
    id: 'sheet-1',
    name: 'Saturday (demo)',
    createdAt: '2026-03-04T08:30:00.000Z',
    operator: 'Demo operator',
    plan,
    order: 'rounds',
    seed: 20260304,
    referenceSetupId: null,
    closedAt: null,
    entries: [demoEntry('a', { state: 'done' }), demoEntry('b', { state: 'open' })],
  };
}

/** All words of a report, one piece a line, with plain spaces. */
export function wordsOf(report: Report): string {
  return [
    report.title,
    report.subtitle,
    ...report.sections.flatMap(({ heading, blocks }) => [`# ${heading}`, ...blocks.flatMap(linesOf)]),
  ]
    .join('\n')
    .replaceAll('\u202f', ' ');
}

/** The words of one section; fails where there is none of that name. */
export function sectionOf(report: Report, heading: string): string {
  const found = report.sections.find((section) => section.heading === heading);
  if (found === undefined) {
    throw new Error(
      `No section ${heading}; there are ${report.sections.map((section) => section.heading).join(', ')}`,
    );
  }
  return found.blocks.flatMap(linesOf).join('\n').replaceAll('\u202f', ' ');
}

function linesOf(block: ReportBlock): string[] {
  switch (block.kind) {
    case 'text':
      return [block.text];
    case 'caution':
      return [`! ${block.text}`];
    case 'list':
      return block.items.map((item) => `- ${item}`);
    case 'facts':
      return block.rows.map(({ label, value }) => `${label}: ${value}`);
    case 'table':
      return [
        block.caption,
        block.columns.map(({ label }) => label).join(' | '),
        ...block.rows.map((row) => row.join(' | ')),
      ];
    case 'chart':
      return [`[${block.chart.kind}] ${block.caption}`];
    case 'trail':
      return block.events.map(({ at, text }) => `${at}: ${text}`);
  }
}
