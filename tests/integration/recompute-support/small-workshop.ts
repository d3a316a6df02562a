import { acceptRun } from '../../../main/calibration/accept-run.ts';
import { prepareRun } from '../../../main/calibration/prepare-run.ts';
import { createCatalogueParts } from '../../../main/catalogue/catalogue-parts.ts';
import { listChecks, insertCheck } from '../../../main/storage/check-repository.ts';
import {
  getCalibration,
  getCalibrationResult,
  insertCalibration,
} from '../../../main/storage/calibration-repository.ts';
import {
  listBenchItems,
  savePack,
  saveSetup,
  saveTool,
} from '../../../main/storage/bench-item-repository.ts';
import type { WritableDatabase } from '../../../main/storage/database.ts';
import { performRecordingCommand } from '../../../main/storage/recording-commands.ts';
import { insertReading, insertRun } from '../../../main/storage/run-repository.ts';
import { insertRunSheet } from '../../../main/storage/run-sheet-repository.ts';
import { createSession } from '../../../main/storage/session-repository.ts';
import { ensureSimulatedTransducer } from '../../../main/storage/transducer-repository.ts';
import { recordDecision } from '../../../main/storage/trial-repository.ts';
import { createStandingsParts } from '../../../main/standings/standings-parts.ts';
import { recordDemoPull } from '../../../scripts/demo/record-pull.ts';
import { demoPack, demoTools, detailsOf, setupOf, toolOf } from '../../../scripts/demo/scenario.ts';
import { computeCalibration } from '../../../shared-lib/calibration/compute-calibration.ts';
import { distributionFunctions } from '../../../shared-lib/calibration/distribution-functions.ts';
import { readCheck } from '../../../shared-lib/calibration/read-check.ts';
import type { CheckMeans } from '../../../shared-lib/calibration/daily-check-model.ts';
import { expandRunSheet } from '../../../shared-lib/run-sheet/expand-run-sheet.ts';
import type { Plan } from '../../../shared-lib/run-sheet/plan-model.ts';
import { setupAsTested } from '../../../shared-lib/run-sheet/setup-as-tested.ts';
import type { SchemeDraft } from '../../../shared-lib/standings/scheme-model.ts';
import {
  simulatedCalibration,
  simulatedTransducer,
} from '../../../shared-lib/simulation/simulated-transducer.ts';
import { demoArm, demoSetup, demoSite, demoWeight } from '../../helpers/run-setups.ts';

/**
 * An invented workshop of three tools that has one of everything which a package can be computed again from, and is small enough to
 * be computed again dozens of times: calibrations by direct entry and by a guided run, daily checks, pulls of a run sheet with a
 * voided one and one that is read by another calibration, prices, claims, ratings, a scheme, a table and an edition.
 */
export const OPERATOR = 'Demo operator';
export const DIRECT = 'calibration-direct';
export const PLANNED_S = 3;
export const TABLE_ID = 'small-table';

const tools = demoTools.slice(0, 3);
const plan: Plan = {
  id: 'small-plan',
  name: 'Forward 3 s (demo)',
  steps: [
    { kind: 'tighten', direction: 'forward', plannedS: PLANNED_S, preloadNm: null, repeats: 1, restS: 90 },
  ],
  conditioningPulls: 1,
  rounds: 3,
  roundsToPublish: 3,
  reference: null,
  asks: [],
};

export interface SmallWorkshopOptions {
  /** Of the first tool, which is pulled as a setup too; left out: none. */
  readonly reference?: Plan['reference'];
  /** Left out: no, one trial is read by another, whose scale is in what is compared. */
  readonly isReadByOneCalibration?: boolean;
}

export async function fillSmallWorkshop(
  database: WritableDatabase,
  { reference = null, isReadByOneCalibration = false }: SmallWorkshopOptions = {},
): Promise<{ runCalibrationId: string }> {
  const transducer = ensureSimulatedTransducer(database, {
    id: 'small-transducer',
    name: 'Small transducer (demo)',
    ...simulatedTransducer,
    rigRevision: 'A',
    senseSign: 1,
    senseConfirmedAt: '2026-02-20T10:00:00.000Z',
  });
  for (const tool of tools) saveTool(database, toolOf(tool));
  savePack(database, demoPack);
  for (const tool of tools) saveSetup(database, setupOf(tool));
  calibrateByEntry(database);
  const runCalibrationId = calibrateByRun(database);
  check(database, runCalibrationId, '2026-03-03T08:30:00.000Z', { kind: 'shunt' }, 500_000);
  check(database, runCalibrationId, '2026-03-03T08:40:00.000Z', weightMeans, 98.07 / gain);

  const sessionId = 'small-session';
  createSession(database, {
    id: sessionId,
    transducerId: transducer.id,
    startedAt: '2026-03-03T08:50:00.000Z',
    operator: OPERATOR,
  });
  pullSheet(
    database,
    {
      sessionId,
      calibrationId: runCalibrationId,
      transducer: { ...transducer, activeCalibrationId: runCalibrationId },
    },
    { ...plan, reference },
  );
  const [first, second] = trialIds(database, 'counted');
  recordDecision(database, second ?? '', {
    decision: 'voided',
    reason: 'The socket slipped (demo).',
    stopCause: null,
    figuresShown: true,
    operator: OPERATOR,
    at: '2026-03-03T12:00:00.000Z',
  });
  if (!isReadByOneCalibration) readByCertificate(database, first ?? '');
  await rankThem(database);
  return { runCalibrationId };
}

function readByCertificate(database: WritableDatabase, trialId: string): void {
  performRecordingCommand(database, {
    type: 'assign',
    trialId,
    assigned: {
      calibrationId: DIRECT,
      reason: 'To see what the other one makes of it (demo).',
      operator: OPERATOR,
      at: '2026-03-03T12:10:00.000Z',
    },
    levelsNm: [],
  });
}

export function trialIds(database: WritableDatabase, role: string): string[] {
  return database
    .prepare<[string], string>('SELECT id FROM trial WHERE role = ? ORDER BY started_at')
    .pluck()
    .all(role);
}

const gain = simulatedCalibration.forward.gainNmPerCount;

/** 1000 N·m at 4 000 000 counts, as a certificate might say. */
function calibrateByEntry(database: WritableDatabase): void {
  const input = {
    method: 'direct' as const,
    zeroCounts: 120,
    forward: { torqueNm: 1000, counts: 4_000_120 },
    reverse: { torqueNm: 1000, counts: -3_993_500 },
  };
  const { forward, reverse } = computeCalibration(input);
  insertCalibration(
    database,
    {
      id: DIRECT,
      transducerId: 'small-transducer',
      amplifierId: null,
      label: 'Certificate (demo)',
      method: 'direct',
      forward,
      reverse,
      enteredUncertaintyPercent: 0.5,
      input,
      runId: null,
      validUntil: null,
      validForTrials: null,
      operator: OPERATOR,
      note: '',
      createdAt: '2026-02-20T10:00:00.000Z',
      supersededAt: null,
      supersedeReason: null,
    },
    null,
  );
}

/** Four discs of 20 kg on an arm of a metre. */
function calibrateByRun(database: WritableDatabase): string {
  const setup = demoSetup(4, {
    levels: [1, 2, 3, 4].map((level) =>
      Array.from({ length: level }, (_, index) => demoWeight(20, `disc-${index + 1}`)),
    ),
    arm: { ...demoArm, lengthM: 1 },
    series: 'notRemountable',
  });
  const { readings } = prepareRun(setup, { today: '2026-03-01', capacityNm: 1500, rigLimitNm: 1400 });
  const id = 'small-run';
  insertRun(database, {
    id,
    transducerId: 'small-transducer',
    amplifierId: null,
    isSimulated: true,
    setup,
    readings,
    operator: OPERATOR,
    startedAt: '2026-03-01T10:00:00.000Z',
  });
  for (const { index, torqueNm, sense } of readings) {
    const sign = sense === 'forward' ? 1 : -1;
    // Scatter that is the same each time: some counts up and down.
    const scatter = ((index * 7919) % 41) - 20;
    insertReading(database, id, {
      index,
      meanCounts: 150 + (sign * torqueNm) / gain + scatter,
      standardDeviationCounts: 4,
      spreadCounts: 12,
      driftCountsPerS: 0.5,
      sampleCount: 500,
      durationS: 0.5,
      takenAt: `2026-03-01T10:${String(10 + index).padStart(2, '0')}:00.000Z`,
      by: 'steady',
      flags: [],
    });
  }
  const version = acceptRun(
    database,
    {
      runId: id,
      label: 'Weights on the arm (demo)',
      note: '',
      overrides: [],
      supersedeReason: 'The arm was measured anew (demo).',
      validUntil: null,
      validForTrials: 1000,
    },
    {
      distributions: distributionFunctions,
      operator: OPERATOR,
      now: '2026-03-01T12:00:00.000Z',
      today: '2026-03-01',
    },
  );
  return version.id;
}

const weightMeans: CheckMeans = {
  kind: 'weight',
  sense: 'forward',
  weights: [demoWeight(10)],
  arm: { ...demoArm, lengthM: 1 },
  site: demoSite,
};

function check(
  database: WritableDatabase,
  calibrationId: string,
  at: string,
  means: CheckMeans,
  deflectionCounts: number,
): void {
  const read = readCheck({
    means,
    zeroCounts: 151,
    readingCounts: 151 + deflectionCounts,
    calibration: getCalibration(database, calibrationId),
    result: getCalibrationResult(database, calibrationId),
    earlier: listChecks(database, calibrationId),
    today: at.slice(0, 10),
    newReferenceReason: null,
  });
  insertCheck(database, {
    transducerId: 'small-transducer',
    calibrationId,
    at,
    operator: OPERATOR,
    means,
    zeroCounts: 151,
    readingCounts: 151 + deflectionCounts,
    ...read,
  });
}

/** A tenth more than hangs there: everything since the check that passed is suspect. */
export function failCheck(database: WritableDatabase, calibrationId: string, at: string): void {
  check(database, calibrationId, at, weightMeans, (1.1 * 98.07) / gain);
}

function pullSheet(
  database: WritableDatabase,
  bench: Pick<Parameters<typeof recordDemoPull>[1], 'sessionId' | 'calibrationId' | 'transducer'>,
  ofSheet: Plan,
): void {
  const draft = {
    plan: ofSheet,
    setupIds: tools.map((tool) => setupOf(tool).id),
    order: 'rounds' as const,
    seed: 7,
  };
  const tested = tools.map((tool) => setupAsTested(setupOf(tool), listBenchItems(database)));
  const entries = expandRunSheet(
    draft,
    tested.filter((setup) => setup !== null),
    ofSheet.reference && (tested[0] ?? null),
  ).map((entry, index) => ({ ...entry, id: `small-entry-${String(index)}` }));
  insertRunSheet(database, {
    id: 'small-sheet',
    name: 'Three wrenches (demo)',
    createdAt: '2026-03-03T08:45:00.000Z',
    operator: OPERATOR,
    plan: ofSheet,
    order: draft.order,
    seed: draft.seed,
    referenceSetupId: ofSheet.reference && (tested[0]?.setupId ?? null),
    entries,
  });
  for (const [index, { id: entryId, setup, step, round, repeat, role }] of entries.entries()) {
    const tool = demoTools.find(({ id }) => id === setup.toolId);
    if (tool === undefined) throw new Error('An entry of a tool that is not in the scenario');
    recordDemoPull(database, {
      ...bench,
      id: `small-trial-${String(index)}`,
      startedAt: new Date(Date.parse('2026-03-03T09:00:00.000Z') + 45_000 * index),
      step,
      setup,
      place: { runSheetId: 'small-sheet', entryId, index, round, repeat, role },
      tool: tool.simulated,
      runScatter: tool.runScatter,
      seed: 100 + index,
      sampleRateHz: 1000,
      operator: OPERATOR,
    });
  }
}

const forward = { kind: 'tighten', direction: 'forward', plannedS: PLANNED_S } as const;
const scheme: SchemeDraft = {
  name: 'Small all-round (demo)',
  note: 'Invented.',
  isNormalised: false,
  terms: [
    {
      id: 'forward',
      label: 'Torque forward',
      measure: { of: 'trial', step: forward, measure: { figure: 'sustainedTorque' } },
      better: 'more',
      how: { way: 'perUnit', points: 1, amount: 10 },
      factor: 1,
      cap: null,
      missing: 'notRanked',
    },
    {
      id: 'worth',
      label: 'Torque for the money',
      measure: { of: 'ratio', step: forward, measure: { figure: 'sustainedTorque' }, per: 'priceBare' },
      better: 'more',
      how: { way: 'shareOfBest', points: 30 },
      factor: 1,
      cap: null,
      missing: 'notRanked',
    },
    {
      id: 'claim',
      label: 'Share of the claim',
      measure: { of: 'ratio', step: forward, measure: { figure: 'sustainedTorque' }, per: 'fasteningClaim' },
      better: 'more',
      how: { way: 'perUnit', points: 10, amount: 1 },
      factor: 1,
      cap: null,
      missing: 'zero',
    },
    {
      id: 'handling',
      label: 'Handling (a judgement)',
      measure: { of: 'tool', property: 'handling' },
      better: 'more',
      how: { way: 'perUnit', points: 1, amount: 1 },
      factor: 1,
      cap: null,
      missing: 'zero',
    },
  ],
};

async function rankThem(database: WritableDatabase): Promise<void> {
  let now = '2026-02-28T12:00:00.000Z';
  const parts = {
    database,
    clock: { now: () => new Date(now), monotonicUs: () => 0 },
    softwareVersion: 'test',
    operator: () => OPERATOR,
    emit: () => undefined,
  };
  const catalogue = createCatalogueParts(parts).handlers;
  const standings = createStandingsParts(parts);
  try {
    for (const tool of tools) {
      await catalogue.saveCatalogueTool({ tool: toolOf(tool), details: detailsOf(tool) });
      for (const rating of tool.ratings) {
        await catalogue.rateHandling({ toolId: tool.id, note: 'An invented judgement.', ...rating });
      }
    }
    const { schemeId } = await standings.handlers.saveScheme({ schemeId: null, draft: scheme });
    await standings.handlers.saveStandingsTable({
      table: {
        id: TABLE_ID,
        name: 'Small table (demo)',
        schemeId,
        toolClasses: ['impactWrench'],
        driveSizes: [],
        supplies: [],
        isSimulated: true,
        gate: 'goodAndLook',
        currency: 'EUR',
        isArchived: false,
      },
    });
    now = '2026-03-20T12:00:00.000Z';
    await standings.handlers.makeEdition({ tableId: TABLE_ID, name: 'Spring 2026 (demo)', note: '' });
  } finally {
    standings.close();
  }
}
