import type { Tool, Setup } from '../../../shared-lib/run-sheet/setup-model.ts';
import { setupAsTested } from '../../../shared-lib/run-sheet/setup-as-tested.ts';
import type { Role } from '../../../shared-lib/run-sheet/run-sheet-model.ts';
import type { Step } from '../../../shared-lib/trial/step-model.ts';
import type { Transducer, TrialConditions, TrialFigures } from '../../../shared-lib/trial/trial-model.ts';
import { listBenchItems, saveSetup, saveTool } from '../../../main/storage/bench-item-repository.ts';
import { insertCalibration } from '../../../main/storage/calibration-repository.ts';
import type { WritableDatabase } from '../../../main/storage/database.ts';
import {
  beginTrial,
  type FinishedRecording,
  finishRecording,
} from '../../../main/storage/recording-repository.ts';
import { performRecordingCommand } from '../../../main/storage/recording-commands.ts';
import { insertRunSheet } from '../../../main/storage/run-sheet-repository.ts';
import { createSession } from '../../../main/storage/session-repository.ts';
import { ensureRealTransducer } from '../../../main/storage/transducer-repository.ts';
import { getTrial, recordDecision } from '../../../main/storage/trial-repository.ts';
import { hollin, shortPlan } from '../../helpers/run-sheet-fixture.ts';
import {
  at,
  block,
  calibration,
  calibrationId,
  conditions,
  decision,
  ended,
  figures,
  newTrial,
  seedBench,
} from './bench-fixture.ts';

/** Three invented tools, each in one setup without a pack. */
export const tools = {
  hollin: { ...hollin, id: 'tool-hollin', name: 'Hollin H5' },
  tarnwick: { ...hollin, id: 'tool-tarnwick', name: 'Tarnwick T6' },
  brindlow: { ...hollin, id: 'tool-brindlow', name: 'Brindlow B4' },
} as const satisfies Record<string, Tool>;
export type ToolName = keyof typeof tools;

export function setupOf(name: ToolName): Setup {
  return {
    id: `setup-${name}`,
    toolId: tools[name].id,
    packId: null,
    setting: '',
    socket: null,
    isArchived: false,
  };
}

export function keyOf(name: ToolName): string {
  return `setup:setup-${name}`;
}

export const forward: Step = { toolName: '', kind: 'tighten', direction: 'forward', plannedS: 5 };
export const forwardStep = { kind: 'tighten', direction: 'forward', plannedS: 5 } as const;

export interface Pull {
  readonly tool: ToolName;
  /** Left out: the next minute of its session. */
  readonly id?: string;
  readonly session?: string;
  readonly sustainedNm?: number;
  readonly figures?: Partial<TrialFigures>;
  readonly step?: Partial<Step>;
  readonly state?: FinishedRecording['state'];
  readonly verdict?: 'good' | 'look' | 'notUsable';
  /** Of the sheet `sheet`, which has three rounds where it was not made before. */
  readonly round?: number;
  readonly role?: Role;
  readonly sheet?: string;
  /** Left out: the simulated one. */
  readonly isReal?: boolean;
  readonly conditions?: Partial<TrialConditions>;
  /** Pulled under the tool's name alone. */
  readonly isWithoutSetup?: boolean;
}

export interface ComparedBench {
  readonly simulated: Transducer;
  readonly real: Transducer;
  session(id: string, startedAt: string, isReal?: boolean): void;
  sheet(id: string, rounds: number): void;
  /** A trial with the given figures. Returns its id. */
  pull(pull: Pull): string;
  /** One with raw counts at 80 Sa/s that rise as torque (1 - exp(-t / tau)), measured from them, and kept. */
  pullCurve(pull: Pull & { readonly risesToNm: number; readonly tauS: number }): string;
}

/** An invented bench with a simulated and a real transducer, in which pulls of any day can be put. */
export function createComparedBench(database: WritableDatabase): ComparedBench {
  const simulated = seedBench(database);
  const real = ensureRealTransducer(database);
  insertCalibration(database, calibration({ id: 'calibration-real', transducerId: real.id }), null);
  for (const name of ['hollin', 'tarnwick', 'brindlow'] as const) {
    saveTool(database, tools[name]);
    saveSetup(database, setupOf(name));
  }
  const startOf = new Map<string, string>();
  const pulledIn = new Map<string, number>();
  const sheets = new Set<string>();
  let count = 0;

  const trialOf = (pull: Pull) => {
    const session = pull.session ?? 'session-day-1';
    const minutes = (pulledIn.get(session) ?? 0) + 1;
    pulledIn.set(session, minutes);
    count += 1;
    const setup = setupAsTested(setupOf(pull.tool), listBenchItems(database));
    const transducer = pull.isReal === true ? real : simulated;
    const sheet = pull.sheet ?? 'sheet-1';
    if (pull.round !== undefined && !sheets.has(sheet)) bench.sheet(sheet, 3);
    return newTrial(transducer, {
      id: pull.id ?? `pull-${count}`,
      sessionId: session,
      startedAt: new Date(Date.parse(startOf.get(session) ?? at) + 60_000 * minutes).toISOString(),
      step: { ...forward, ...pull.step, toolName: tools[pull.tool].name },
      isSimulated: pull.isReal !== true,
      conditions: {
        ...conditions(transducer),
        calibrationId: pull.isReal === true ? 'calibration-real' : calibrationId,
        setup: pull.isWithoutSetup === true ? null : setup,
        place:
          pull.round === undefined
            ? null
            : {
                runSheetId: sheet,
                entryId: `entry-of-${sheet}`,
                index: 0,
                round: pull.round,
                repeat: 1,
                role: pull.role ?? 'counted',
              },
        ...pull.conditions,
      },
    });
  };

  const bench: ComparedBench = {
    simulated,
    real,
    session(id, startedAt, isReal = false) {
      startOf.set(id, startedAt);
      createSession(database, {
        id,
        transducerId: isReal ? real.id : simulated.id,
        startedAt,
        operator: 'Demo operator',
      });
    },
    sheet(id, rounds) {
      sheets.add(id);
      const setup = setupAsTested(setupOf('hollin'), listBenchItems(database));
      if (setup === null) throw new Error('The setup is not there');
      insertRunSheet(database, {
        id,
        name: 'Demo sheet',
        createdAt: at,
        operator: '',
        plan: { ...shortPlan, rounds },
        order: 'rounds',
        seed: 1,
        referenceSetupId: null,
        entries: [
          {
            id: `entry-of-${id}`,
            setup,
            step: newTrial(simulated).step,
            role: 'counted',
            round: 1,
            repeat: 1,
            restS: 0,
          },
        ],
      });
    },
    pull(pull) {
      const trial = trialOf(pull);
      const state = pull.state ?? 'kept';
      beginTrial(database, trial, [block(0, [1, 2, 3])]);
      finishRecording(
        database,
        trial.id,
        ended(state, {
          figures:
            state === 'interrupted'
              ? null
              : {
                  ...figures(pull.sustainedNm),
                  definitionVersion: 2,
                  calibrationId: trial.conditions.calibrationId,
                  onsetLevelNm: trial.conditions.onsetLevelNm,
                  quality: { verdict: pull.verdict ?? 'good', reasons: [] },
                  ...pull.figures,
                },
        }),
      );
      return trial.id;
    },
    pullCurve({ risesToNm, tauS, ...pull }) {
      const asked = trialOf(pull);
      const { zeroCounts, profile, onsetLevelNm } = asked.conditions;
      const rateHz = profile.nominalRateHz;
      // Where it passes the level, as the bench would have found it.
      const onsetS = -tauS * Math.log(1 - onsetLevelNm / Math.abs(risesToNm));
      const onsetSlot = Math.round((1 + onsetS) * rateHz);
      const trial = { ...asked, onsetSlot };
      const slots = (1 + trial.step.plannedS + 1) * rateHz;
      const counts = Array.from({ length: slots }, (_, slot) => {
        const timeS = slot / rateHz - 1;
        const torqueNm = timeS <= 0 ? 0 : risesToNm * (1 - Math.exp(-timeS / tauS));
        // A reading that stood still would be no live one.
        return Math.round(zeroCounts + torqueNm / 0.00025) + (slot % 2);
      });
      beginTrial(
        database,
        trial,
        [0, 1, 2, 3, 4, 5, 6].map((second) =>
          block(second * rateHz, counts.slice(second * rateHz, (second + 1) * rateHz), second * 1_000_000),
        ),
      );
      performRecordingCommand(database, {
        type: 'finish',
        trialId: trial.id,
        ending: {
          outcome: 'complete',
          sentence: '',
          zeroAfterCounts: zeroCounts,
          expectedRateHz: rateHz,
          onsetSlot,
          levelsNm: [100],
          operator: 'Demo operator',
          at,
        },
      });
      if (getTrial(database, trial.id).summary.state === 'reviewing') {
        recordDecision(database, trial.id, decision('kept'));
      }
      return trial.id;
    },
  };
  bench.session('session-day-1', '2026-04-01T08:00:00.000Z');
  return bench;
}
