import { onTestFinished } from 'vitest';
import type { EventName } from '../../../shared-lib/api-contract.ts';
import type { ToolDetails } from '../../../shared-lib/catalogue/catalogue-model.ts';
import { noDetails } from '../../../shared-lib/catalogue/tool-entry.ts';
import type { Setup, Tool } from '../../../shared-lib/run-sheet/setup-model.ts';
import { setupAsTested } from '../../../shared-lib/run-sheet/setup-as-tested.ts';
import type { SchemeDraft, Term } from '../../../shared-lib/standings/scheme-model.ts';
import type { Cell, Standings, StandingsTable } from '../../../shared-lib/standings/standings-model.ts';
import type { Step } from '../../../shared-lib/trial/step-model.ts';
import type { Transducer, TrialConditions, TrialFigures } from '../../../shared-lib/trial/trial-model.ts';
import { type Clock, systemClock } from '../../../main/platform/clock.ts';
import { createStandingsParts } from '../../../main/standings/standings-parts.ts';
import { assignCalibration } from '../../../main/storage/assignment-repository.ts';
import { listBenchItems, saveSetup } from '../../../main/storage/bench-item-repository.ts';
import type { WritableDatabase } from '../../../main/storage/database.ts';
import { insertExchangeRate } from '../../../main/storage/exchange-rate-repository.ts';
import { insertRating } from '../../../main/storage/rating-repository.ts';
import {
  beginTrial,
  finishRecording,
  type FinishedRecording,
} from '../../../main/storage/recording-repository.ts';
import { saveToolVersion } from '../../../main/storage/tool-details-repository.ts';
import { getTrial, recordDecision } from '../../../main/storage/trial-repository.ts';
import {
  block,
  conditions,
  decision,
  ended,
  figures,
  newTrial,
  open,
  seedBench,
} from '../storage-support/bench-fixture.ts';
import { temporaryFolder } from '../storage-support/temporary-folder.ts';

/** An invented workshop whose tools are ranked, on a real database, with the real services of standings. */
export const operator = 'Demo operator';
export const tighten = { kind: 'tighten', direction: 'forward', plannedS: 5 } as const;
export const sustained = { of: 'trial', step: tighten, measure: { figure: 'sustainedTorque' } } as const;

export type Workshop = ReturnType<typeof openWorkshop>;

export interface Pull {
  readonly sustainedNm: number | null;
  readonly step?: Partial<Step>;
  readonly state?: FinishedRecording['state'];
  readonly verdict?: TrialFigures['quality']['verdict'];
  readonly conditions?: Partial<TrialConditions>;
  readonly figures?: Partial<TrialFigures>;
  readonly isSimulated?: boolean;
  /** Left out: the one that is there from the start. */
  readonly sessionId?: string;
}

/** `monotonicUs`: the clock that slices of long work are cut by. */
export function openWorkshop({
  monotonicUs = systemClock.monotonicUs,
}: Partial<Pick<Clock, 'monotonicUs'>> = {}) {
  const database: WritableDatabase = open(temporaryFolder());
  const transducer: Transducer = seedBench(database);
  const events: EventName[] = [];
  let minute = 0;
  /** Instants in the order of what happens. */
  const next = (): string => new Date(Date.UTC(2026, 2, 5) + (minute += 1) * 60_000).toISOString();
  const parts = createStandingsParts({
    database,
    clock: { now: () => new Date(next()), monotonicUs },
    softwareVersion: '0.0.0-test',
    operator: () => operator,
    emit: (name) => {
      events.push(name);
    },
  });
  onTestFinished(() => {
    parts.close();
    database.close();
  });
  const { handlers } = parts;

  const know = (tool: Tool, details: Partial<ToolDetails> = {}): void => {
    saveToolVersion(database, { tool, details: { ...noDetails, ...details } }, { operator, at: next() });
  };

  const pullNamed = (toolName: string, setup: Setup | null, pull: Pull): string => {
    const at = next();
    const id = `trial-${minute}`;
    const made = conditions(transducer);
    const tested = setup === null ? null : setupAsTested(setup, listBenchItems(database));
    const ownFigures = figures();
    const trial = newTrial(transducer, {
      id,
      startedAt: at,
      step: { toolName, ...tighten, ...pull.step },
      conditions: { ...made, setup: tested, ...pull.conditions },
      isSimulated: pull.isSimulated ?? false,
      ...(pull.sessionId === undefined ? {} : { sessionId: pull.sessionId }),
    });
    beginTrial(database, trial, [block(0, [1, 2, 3])]);
    finishRecording(
      database,
      id,
      ended(pull.state ?? 'kept', {
        figures: {
          ...ownFigures,
          calibrationId: trial.conditions.calibrationId,
          sustainedTorqueNm:
            pull.sustainedNm === null
              ? { refused: 'The tool never held it in this test.' }
              : { value: pull.sustainedNm },
          quality: { verdict: pull.verdict ?? 'good', reasons: [] },
          ...pull.figures,
        },
      }),
    );
    return id;
  };

  return {
    database,
    transducer,
    handlers,
    parts,
    events,
    /** What happens next happens a day later. */
    sleep(): void {
      minute += 24 * 60;
    },
    next,
    know,
    /** A tool of the list with one setup. */
    addTool(name: string, details: Partial<ToolDetails> = {}, changes: Partial<Tool> = {}): Setup {
      const id = `tool-${name}`;
      const tool: Tool = {
        id,
        name,
        supply: 'battery',
        declaredVibrationMps2: null,
        declaredNoiseDbA: null,
        isArchived: false,
        ...changes,
      };
      know(tool, details);
      const setup: Setup = {
        id: `setup-${name}`,
        toolId: id,
        packId: null,
        setting: '',
        socket: null,
        isArchived: false,
      };
      saveSetup(database, setup);
      return setup;
    },
    pull(setup: Setup, pull: Pull | number): string {
      const tool = listBenchItems(database).tools.find(({ id }) => id === setup.toolId);
      return pullNamed(tool?.name ?? '', setup, typeof pull === 'number' ? { sustainedNm: pull } : pull);
    },
    /** Without a setup. */
    pullNamed: (toolName: string, sustainedNm: number) => pullNamed(toolName, null, { sustainedNm }),
    voidTrial(trialId: string): void {
      recordDecision(database, trialId, decision('voided', { at: next() }));
    },
    restoreTrial(trialId: string): void {
      recordDecision(database, trialId, decision('restored', { at: next() }));
    },
    /** The trial is read by another calibration, with these figures. */
    reassign(trialId: string, calibrationId: string, sustainedNm: number): void {
      const { figures: before } = getTrial(database, trialId);
      if (before === null) throw new Error('There is nothing to be read anew');
      assignCalibration(
        database,
        trialId,
        { calibrationId, reason: 'In a test', operator, at: next() },
        { ...before, calibrationId, sustainedTorqueNm: { value: sustainedNm } },
      );
    },
    rate(toolId: string, rater: string, score: number): void {
      insertRating(database, { toolId, rater, score, isBlind: true, note: '', at: next() });
    },
    addRate(currency: string, inCurrency: string, rate: number, on = '2026-01-01'): void {
      insertExchangeRate(
        database,
        { currency, inCurrency, rate, on, source: 'demo bank' },
        { operator, at: next() },
      );
    },
    async saveScheme(draft: SchemeDraft, schemeId: string | null = null): Promise<string> {
      return (await handlers.saveScheme({ schemeId, draft })).schemeId;
    },
    async saveTable(changes: Partial<StandingsTable> & Pick<StandingsTable, 'schemeId'>): Promise<string> {
      const made = table(changes);
      await handlers.saveStandingsTable({ table: made });
      return made.id;
    },
    standings: async (tableId = 'table-1'): Promise<Standings> => handlers.getStandings({ tableId }),
  };
}

export function table(changes: Partial<StandingsTable> & Pick<StandingsTable, 'schemeId'>): StandingsTable {
  return {
    id: 'table-1',
    name: 'All of them (demo)',
    toolClasses: [],
    driveSizes: [],
    supplies: [],
    isSimulated: false,
    gate: 'goodAndLook',
    currency: 'EUR',
    isArchived: false,
    ...changes,
  };
}

export function term(changes: Partial<Term> = {}): Term {
  return {
    id: 'strength',
    label: 'Strength',
    measure: sustained,
    better: 'more',
    how: { way: 'perUnit', points: 1, amount: 10 },
    factor: 1,
    cap: null,
    missing: 'notRanked',
    ...changes,
  };
}

export function scheme(terms: readonly Term[] = [term()], changes: Partial<SchemeDraft> = {}): SchemeDraft {
  return { name: 'Strength alone (demo)', terms: [...terms], isNormalised: false, note: '', ...changes };
}

/** Why a tool is not ranked; null: it is. */
export function whyNotRanked({ rows, notRanked }: Standings, toolName: string): string[] | null {
  if (rows.some(({ contender }) => contender.toolName === toolName)) return null;
  const found = notRanked.find(({ contender }) => contender.toolName === toolName);
  if (found === undefined) throw new Error(`${toolName} is not in the table`);
  return found.because;
}

/** Every cell of a table by contender and term. */
export function cellsOf({ rows, notRanked }: Standings): Map<string, Cell> {
  return new Map(
    [...rows, ...notRanked].flatMap(({ contender, cells }) =>
      cells.map((cell) => [`${contender.label} / ${cell.termId}`, cell]),
    ),
  );
}
