import { toolDetailsSchema } from '../../shared-lib/catalogue/catalogue-model.ts';
import { noDetails } from '../../shared-lib/catalogue/tool-entry.ts';
import type { SchemeDraft, Term } from '../../shared-lib/standings/scheme-model.ts';
import { setupAsTestedSchema } from '../../shared-lib/run-sheet/setup-model.ts';
import { saveSetup } from '../../main/storage/bench-item-repository.ts';
import { type WritableDatabase, writing } from '../../main/storage/database.ts';
import { foldForSearch } from '../../main/storage/search-folding.ts';
import { createSession } from '../../main/storage/session-repository.ts';
import { saveToolVersion } from '../../main/storage/tool-details-repository.ts';
import {
  at,
  ended,
  newTrial,
  open,
  seedBench,
} from '../../tests/integration/storage-support/bench-fixture.ts';
import { beginTrial, finishRecording } from '../../main/storage/recording-repository.ts';

/** An invented workshop of any size, for measuring how long reading it takes. */
const TRIALS_PER_SESSION = 100;
const FIRST_START_MS = Date.UTC(2026, 0, 5, 8);

/**
 * Each tool with one setup, details, price and its pulls in turn with the others. The first trial is stored by the program; the
 * others are copies of its rows, made by SQL with the program's own triggers, without samples.
 */
export function makeWorkshop(
  folder: string,
  { toolCount, trialCount }: { readonly toolCount: number; readonly trialCount: number },
): WritableDatabase {
  const database = open(folder);
  const transducer = seedBench(database);
  beginTrial(database, newTrial(transducer, { isSimulated: false }), []);
  finishRecording(database, 'trial-1', ended('kept'));
  writing(database, () => {
    addTools(database, toolCount);
    for (let session = 0; session * TRIALS_PER_SESSION < trialCount; session += 1) {
      createSession(database, {
        id: `session-of-copies-${session}`,
        transducerId: transducer.id,
        startedAt: new Date(FIRST_START_MS + session * TRIALS_PER_SESSION * 60_000).toISOString(),
        operator: 'Demo operator',
      });
    }
    copyTrials(database, toolCount, trialCount);
  });
  database.exec('ANALYZE');
  return database;
}

const by = { operator: 'Demo operator', at };

function addTools(database: WritableDatabase, toolCount: number): void {
  database.exec(
    'CREATE TEMP TABLE contender (place INTEGER PRIMARY KEY, setup_id, setup_json, tool_name, tool_name_folded)',
  );
  const insert = database.prepare('INSERT INTO contender VALUES (?, ?, ?, ?, ?)');
  for (let place = 0; place < toolCount; place += 1) {
    const tool = {
      id: `tool-${place}`,
      name: `Demo tool ${place}`,
      supply: 'battery',
      declaredVibrationMps2: 8 + (place % 9),
      declaredNoiseDbA: null,
      isArchived: false,
    } as const;
    const details = toolDetailsSchema.parse({
      ...noDetails,
      toolClass: 'impactWrench',
      massLoadedKg: 2 + (place % 17) / 10,
      prices: [
        {
          id: 'bare',
          kind: 'bare',
          amount: 100 + place,
          currency: 'EUR',
          on: '2026-01-01',
          source: 'demo shop',
        },
      ],
    });
    saveToolVersion(database, { tool, details }, by);
    const setup = { id: `setup-${place}`, toolId: tool.id, packId: null, setting: '', socket: null };
    saveSetup(database, { ...setup, isArchived: false });
    const tested = setupAsTestedSchema.parse({
      setupId: setup.id,
      toolId: tool.id,
      toolName: tool.name,
      supply: tool.supply,
      declaredVibrationMps2: tool.declaredVibrationMps2,
      declaredNoiseDbA: null,
      packId: null,
      packName: null,
      packCapacityAh: null,
      setting: '',
      socket: null,
    });
    insert.run(place, setup.id, JSON.stringify(tested), tool.name, foldForSearch(tool.name));
  }
}

/** Two forward and two in reverse, then the next tool; values are scattered by about 2 % in a way that the number fixes. */
const pulls = `
WITH RECURSIVE pull (n) AS (SELECT 0 UNION ALL SELECT n + 1 FROM pull WHERE n + 1 < @trialCount),
numbered AS (
  SELECT n, n / 4 % @toolCount AS place, CASE n % 2 WHEN 0 THEN 'forward' ELSE 'reverse' END AS turned,
    1 + 0.02 * (n * 7919 % 1009 / 504.5 - 1) AS scatter, printf('copy-%06d', n) AS id,
    strftime('%Y-%m-%dT%H:%M:%fZ', @startS + n * 60, 'unixepoch') AS pulled_at
  FROM pull
)`;

function copyTrials(database: WritableDatabase, toolCount: number, trialCount: number): void {
  const counts = { toolCount, trialCount, startS: FIRST_START_MS / 1000 };
  copyRows(database, 'trial', 'id', counts, {
    id: 'numbered.id',
    session_id: `'session-of-copies-' || (n / ${TRIALS_PER_SESSION})`,
    started_at: 'pulled_at',
    direction: 'turned',
    tool_name: 'contender.tool_name',
    tool_name_folded: 'contender.tool_name_folded',
    setup_json: 'contender.setup_json',
    shown_tool_name: 'contender.tool_name',
    shown_tool_name_folded: 'contender.tool_name_folded',
    shown_setup_json: 'contender.setup_json',
    shown_setup_id: 'contender.setup_id',
    search_text: `contender.tool_name_folded || char(10) || CASE n % 5 WHEN 0 THEN
      'a note of some eighty letters as somebody writes it who has seen the bolt slip ' || n ELSE '' END`,
  });
  copyRows(database, 'trial_evaluation', 'trial_id', counts, {
    id: null,
    trial_id: 'numbered.id',
    at: 'pulled_at',
    figures_json: `json_set(figures_json, '$.sustainedTorqueNm.value', (200 + place) * scatter,
      '$.torqueAt[0].torqueNm.value', (150 + place) * scatter, '$.timeToLevel[0].timeS', 0.4 / scatter)`,
  });
  copyRows(database, 'trial_decision', 'trial_id', counts, {
    id: null,
    trial_id: 'numbered.id',
    at: 'pulled_at',
  });
}

/** The row of the first trial once for each pull, with what is another. Null: the database gives it. */
function copyRows(
  database: WritableDatabase,
  table: string,
  trialColumn: string,
  counts: Readonly<Record<string, number>>,
  others: Readonly<Record<string, string | null>>,
): void {
  const columns = database
    .prepare<[], string>(`SELECT name FROM pragma_table_info('${table}')`)
    .pluck()
    .all()
    .filter((column) => others[column] !== null);
  const values = columns.map((column) => others[column] ?? `template.${column}`);
  database
    .prepare(
      `INSERT INTO ${table} (${columns.join(', ')}) ${pulls}
       SELECT ${values.join(', ')} FROM numbered JOIN contender USING (place), ${table} AS template
       WHERE template.${trialColumn} = 'trial-1' ORDER BY n`,
    )
    .run(counts);
}

/** Four measures of two steps, mass and price. */
export const workshopScheme: SchemeDraft = {
  name: 'Generated (demo)',
  isNormalised: false,
  note: '',
  terms: [
    trialTerm('forward', 'forward', { figure: 'sustainedTorque' }),
    trialTerm('reverse', 'reverse', { figure: 'sustainedTorque' }),
    trialTerm('pace', 'forward', { figure: 'torqueAt', atS: 1 }),
    {
      ...trialTerm('level', 'reverse', { figure: 'timeToLevel', levelNm: 100 }),
      better: 'less',
    },
    {
      ...trialTerm('perMass', 'forward', { figure: 'sustainedTorque' }),
      measure: {
        of: 'ratio',
        step: stepOf('forward'),
        measure: { figure: 'sustainedTorque' },
        per: 'massLoaded',
      },
    },
    {
      ...trialTerm('price', 'forward', { figure: 'sustainedTorque' }),
      measure: { of: 'tool', property: 'priceBare' },
      better: 'less',
    },
  ],
};

function stepOf(direction: 'forward' | 'reverse') {
  return { kind: 'tighten', direction, plannedS: 5 } as const;
}

function trialTerm(
  id: string,
  direction: 'forward' | 'reverse',
  measure: Extract<Term['measure'], { of: 'trial' }>['measure'],
): Term {
  return {
    id,
    label: id,
    measure: { of: 'trial', step: stepOf(direction), measure },
    better: 'more',
    how: { way: 'shareOfBest', points: 100 },
    factor: 1,
    cap: null,
    missing: 'notRanked',
  };
}
