import { expandRunSheet } from '../../shared-lib/run-sheet/expand-run-sheet.ts';
import type { Plan } from '../../shared-lib/run-sheet/plan-model.ts';
import type { PlaceInSheet } from '../../shared-lib/run-sheet/run-sheet-model.ts';
import { setupAsTested } from '../../shared-lib/run-sheet/setup-as-tested.ts';
import type { SetupAsTested } from '../../shared-lib/run-sheet/setup-model.ts';
import {
  simulatedCalibration,
  simulatedTransducer,
} from '../../shared-lib/simulation/simulated-transducer.ts';
import type { Step } from '../../shared-lib/trial/step-model.ts';
import type { Transducer } from '../../shared-lib/trial/trial-model.ts';
import { listBenchItems, savePack, saveSetup, saveTool } from '../../main/storage/bench-item-repository.ts';
import { insertCalibration } from '../../main/storage/calibration-repository.ts';
import type { WritableDatabase } from '../../main/storage/database.ts';
import { insertRunSheet } from '../../main/storage/run-sheet-repository.ts';
import { createSession } from '../../main/storage/session-repository.ts';
import { saveSettings } from '../../main/storage/settings-repository.ts';
import { ensureSimulatedTransducer } from '../../main/storage/transducer-repository.ts';
import { recordDecision } from '../../main/storage/trial-repository.ts';
import { type DemoPull, recordDemoPull } from './record-pull.ts';
import { demoPack, demoPlans, type DemoTool, demoTools, setupOf, toolOf } from './scenario.ts';

const OPERATOR = 'Rowan (demo)';
const RATE_HZ = 1000;
const FIRST_CALIBRATION = 'demo-calibration-1';
const SECOND_CALIBRATION = 'demo-calibration-2';
/** From the start of one pull to that of the next, as the demo's story has it. */
const BETWEEN_PULLS_S = 45;

interface Workshop {
  readonly database: WritableDatabase;
  readonly transducer: Transducer;
  /** Counts pulls, so that each has chance of its own. */
  readonly nextSeed: () => number;
}

/** Sessions, run sheets and trials of the invented workshop, by the program's own commands. The database is a new one. */
export function fillTrials(database: WritableDatabase): void {
  saveSettings(database, { operator: OPERATOR, levelsNm: [100, 200, 400], connectAtStart: 'simulated' });
  for (const tool of demoTools) saveTool(database, toolOf(tool));
  savePack(database, demoPack);
  for (const tool of demoTools) saveSetup(database, setupOf(tool));

  let seed = 0;
  const workshop: Workshop = {
    database,
    transducer: makeTransducer(database),
    nextSeed: () => (seed += 1),
  };
  const [hollin, tarnwick, brindlow, corvane, quenby, ostrel, pellmar, morrick, skarth] = demoTools;
  if (
    !hollin ||
    !tarnwick ||
    !brindlow ||
    !corvane ||
    !quenby ||
    !ostrel ||
    !pellmar ||
    !morrick ||
    !skarth
  ) {
    throw new Error('The scenario has fewer tools than its story.');
  }

  const first = { sessionId: 'demo-session-1', day: '2026-03-03', calibrationId: FIRST_CALIBRATION };
  openSession(workshop, first);
  pullSheet(workshop, first, {
    id: 'demo-sheet-1',
    name: 'Eight half-inch wrenches (demo)',
    plan: demoPlans.bothWays,
    tools: [hollin, tarnwick, brindlow, corvane, quenby, ostrel, pellmar, morrick],
    reference: hollin,
    faultOf: ({ step, place }, tool) => {
      if (place?.role !== 'counted' || step.direction !== 'forward') return undefined;
      if (tool === tarnwick && place.round === 2) return 'lostLines';
      return tool === corvane && place.round === 3 ? 'unplugged' : undefined;
    },
  });
  voidAllOf(workshop, morrick);

  const second = { sessionId: 'demo-session-2', day: '2026-03-10', calibrationId: SECOND_CALIBRATION };
  makeSecondCalibration(workshop);
  openSession(workshop, second);
  pullSheet(workshop, second, {
    id: 'demo-sheet-2',
    name: 'What loosens 400 N·m (demo)',
    plan: demoPlans.breakaway,
    tools: [hollin, tarnwick, brindlow],
    reference: null,
  });
  const forward: Step = { toolName: hollin.name, kind: 'tighten', direction: 'forward', plannedS: 5 };
  for (let run = 0; run < 3; run += 1) pullAlone(workshop, second, hollin, { ...forward }, 60 + run);
  // Once each: needs more runs.
  for (const [index, tool] of [hollin, brindlow].entries()) {
    pullAlone(workshop, second, tool, { ...forward, toolName: tool.name, plannedS: 15 }, 70 + index);
  }

  const third = { sessionId: 'demo-session-3', day: '2026-03-17', calibrationId: SECOND_CALIBRATION };
  openSession(workshop, third);
  pullSheet(workshop, third, {
    id: 'demo-sheet-3',
    name: 'Hollin against Tarnwick, not finished (demo)',
    plan: demoPlans.forward,
    tools: [hollin, tarnwick],
    reference: null,
    lastRound: 2,
  });

  const fourth = { sessionId: 'demo-session-4', day: '2026-03-18', calibrationId: SECOND_CALIBRATION };
  openSession(workshop, fourth);
  for (let run = 0; run < 3; run += 1) {
    pullAlone(workshop, fourth, skarth, { ...forward, toolName: skarth.name }, run, { sampleRateHz: 80 });
  }
  // Somebody only typed a name.
  for (let run = 0; run < 2; run += 1) {
    pullAlone(workshop, fourth, brindlow, { ...forward, toolName: 'Borrowed wrench' }, 10 + run, {
      isWithoutSetup: true,
    });
  }

  // More days of the Hollin, by which the scatter from day to day is known.
  for (const [number, day] of [
    [5, '2026-03-19'],
    [6, '2026-03-20'],
  ] as const) {
    const session = { sessionId: `demo-session-${number}`, day, calibrationId: SECOND_CALIBRATION };
    openSession(workshop, session);
    for (let run = 0; run < 3; run += 1) pullAlone(workshop, session, hollin, { ...forward }, run);
  }
}

interface DemoSession {
  readonly sessionId: string;
  readonly day: string;
  readonly calibrationId: string;
}

function startOf({ day }: DemoSession, index: number): Date {
  return new Date(Date.parse(`${day}T09:00:00.000Z`) + 1000 * BETWEEN_PULLS_S * index);
}

function makeTransducer(database: WritableDatabase): Transducer {
  const createdAt = '2026-02-20T10:00:00.000Z';
  const transducer = ensureSimulatedTransducer(database, {
    id: 'demo-transducer',
    name: 'Workshop transducer (demo)',
    ...simulatedTransducer,
    rigRevision: 'A',
    senseSign: 1,
    senseConfirmedAt: createdAt,
  });
  insertCalibration(
    database,
    calibrationOf(FIRST_CALIBRATION, 'Weights on the arm, February (demo)', createdAt),
    null,
  );
  return { ...transducer, activeCalibrationId: FIRST_CALIBRATION };
}

function makeSecondCalibration({ database }: Workshop): void {
  const at = '2026-03-09T10:00:00.000Z';
  insertCalibration(database, calibrationOf(SECOND_CALIBRATION, 'Weights on the arm, March (demo)', at), {
    reason: 'The arm was measured anew (demo).',
  });
}

function calibrationOf(id: string, label: string, createdAt: string) {
  const { forward, reverse } = simulatedCalibration;
  return {
    id,
    transducerId: 'demo-transducer',
    amplifierId: null,
    label,
    method: 'simulated' as const,
    forward,
    reverse,
    enteredUncertaintyPercent: 0.5,
    input: null,
    runId: null,
    validUntil: null,
    validForTrials: null,
    operator: OPERATOR,
    note: 'Invented for the demo workshop.',
    createdAt,
    supersededAt: null,
    supersedeReason: null,
  };
}

function openSession({ database, transducer }: Workshop, session: DemoSession): void {
  createSession(database, {
    id: session.sessionId,
    transducerId: transducer.id,
    startedAt: new Date(startOf(session, 0).getTime() - 600_000).toISOString(),
    operator: OPERATOR,
  });
}

interface DemoSheet {
  readonly id: string;
  readonly name: string;
  readonly plan: Plan;
  readonly tools: readonly DemoTool[];
  readonly reference: DemoTool | null;
  /** Left out: all of them. */
  readonly lastRound?: number;
  readonly faultOf?: (
    pull: { readonly step: Step; readonly place: PlaceInSheet | null },
    tool: DemoTool,
  ) => DemoPull['fault'];
}

function pullSheet(workshop: Workshop, session: DemoSession, sheet: DemoSheet): void {
  const { database } = workshop;
  const { plan, tools, reference } = sheet;
  const draft = { plan, setupIds: tools.map((tool) => setupOf(tool).id), order: 'rounds' as const, seed: 7 };
  const entries = expandRunSheet(
    draft,
    tools.map((tool) => testedSetup(database, tool)),
    reference && testedSetup(database, reference),
  ).map((entry, index) => ({ ...entry, id: `${sheet.id}-entry-${String(index)}` }));
  insertRunSheet(database, {
    id: sheet.id,
    name: sheet.name,
    createdAt: new Date(startOf(session, 0).getTime() - 900_000).toISOString(),
    operator: OPERATOR,
    plan,
    order: draft.order,
    seed: draft.seed,
    referenceSetupId: reference && setupOf(reference).id,
    entries,
  });
  for (const [index, entry] of entries.entries()) {
    if (entry.round > (sheet.lastRound ?? plan.rounds)) continue;
    const tool = demoTools.find(({ id }) => id === entry.setup.toolId);
    if (tool === undefined) throw new Error('An entry of a tool that is not in the scenario');
    const { id: entryId, setup, step, round, repeat, role } = entry;
    const place: PlaceInSheet = { runSheetId: sheet.id, entryId, index, round, repeat, role };
    const fault = sheet.faultOf?.({ step, place }, tool);
    const startedAt = startOf(session, index);
    pull(workshop, session, tool, {
      id: `${entryId}-a`,
      startedAt,
      step,
      setup,
      place,
      ...(fault && { fault }),
    });
    if (fault !== 'unplugged') continue;
    // Put back, and repeated.
    pull(workshop, session, tool, {
      id: `${entryId}-b`,
      startedAt: new Date(startedAt.getTime() + 20_000),
      step,
      setup,
      place,
    });
  }
}

function pullAlone(
  workshop: Workshop,
  session: DemoSession,
  tool: DemoTool,
  step: Step,
  index: number,
  { sampleRateHz = RATE_HZ, isWithoutSetup = false } = {},
): void {
  pull(workshop, session, tool, {
    id: `${session.sessionId}-pull-${String(index)}`,
    startedAt: startOf(session, index),
    step,
    setup: isWithoutSetup ? null : testedSetup(workshop.database, tool),
    place: null,
    sampleRateHz,
  });
}

function pull(
  { database, transducer, nextSeed }: Workshop,
  { sessionId, calibrationId }: DemoSession,
  { simulated, runScatter }: DemoTool,
  pulled: Pick<DemoPull, 'id' | 'startedAt' | 'step' | 'setup' | 'place'> &
    Partial<Pick<DemoPull, 'fault' | 'sampleRateHz'>>,
): void {
  recordDemoPull(database, {
    sampleRateHz: RATE_HZ,
    sessionId,
    calibrationId,
    transducer: { ...transducer, activeCalibrationId: calibrationId },
    tool: simulated,
    runScatter,
    seed: nextSeed(),
    operator: OPERATOR,
    ...pulled,
  });
}

function testedSetup(database: WritableDatabase, tool: DemoTool): SetupAsTested {
  const tested = setupAsTested(setupOf(tool), listBenchItems(database));
  if (tested === null) throw new Error(`The setup of ${tool.name} was not stored`);
  return tested;
}

function voidAllOf({ database }: Workshop, tool: DemoTool): void {
  const trialIds = database
    .prepare<[string], string>(
      `SELECT id FROM trial WHERE shown_setup_id = ? AND state = 'kept' ORDER BY started_at`,
    )
    .pluck()
    .all(setupOf(tool).id);
  for (const trialId of trialIds) {
    recordDecision(database, trialId, {
      decision: 'voided',
      reason: 'The socket was worn and slipped on the square (demo).',
      stopCause: null,
      figuresShown: true,
      operator: OPERATOR,
      at: '2026-03-03T16:00:00.000Z',
    });
  }
}
