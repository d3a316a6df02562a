import { describe, expect, it } from 'vitest';
import { savePack, saveSetup, saveTool } from '../../main/storage/bench-item-repository.ts';
import type { WritableDatabase } from '../../main/storage/database.ts';
import { beginTrial, finishRecording } from '../../main/storage/recording-repository.ts';
import {
  appendRunSheetEvent,
  newestConfirmations,
  setupInHand,
} from '../../main/storage/run-sheet-events.ts';
import {
  getRunSheet,
  insertRunSheet,
  listRunSheets,
  type NewRunSheet,
  placeEntry,
} from '../../main/storage/run-sheet-repository.ts';
import { getTrial, recordDecision } from '../../main/storage/trial-repository.ts';
import { setupAsTested } from '../../shared-lib/run-sheet/setup-as-tested.ts';
import type { SetupAsTested } from '../../shared-lib/run-sheet/setup-model.ts';
import type { Step } from '../../shared-lib/trial/step-model.ts';
import {
  brindlow,
  brindlowSetup,
  coded,
  hollin,
  hollinSetup,
  nothingFound,
  pack1,
  pack2,
  shortPlan,
} from '../helpers/run-sheet-fixture.ts';
import {
  at,
  block,
  conditions,
  decision,
  ended,
  newTrial,
  open,
  seedBench,
  sessionId,
} from './storage-support/bench-fixture.ts';
import { temporaryFolder } from './storage-support/temporary-folder.ts';

function asTested(setup: typeof hollinSetup): SetupAsTested {
  const tested = setupAsTested(setup, { tools: [hollin, brindlow], packs: [pack1, pack2], setups: [] });
  if (tested === null) throw new Error('The setup is incomplete');
  return tested;
}

const breakaway = (preloadNm: number | null): Step => ({
  toolName: hollin.name,
  kind: 'breakaway',
  direction: 'reverse',
  plannedS: 10,
  preloadNm,
});
const forward: Step = { toolName: brindlow.name, kind: 'tighten', direction: 'forward', plannedS: 0.5 };

function newSheet(changes: Partial<NewRunSheet> = {}): NewRunSheet {
  const entry = { role: 'counted', round: 1, repeat: 1, restS: 90 } as const;
  return {
    id: 'sheet-1',
    name: 'Two tools',
    createdAt: at,
    operator: 'Demo operator',
    plan: shortPlan,
    order: 'rounds',
    seed: 2 ** 32 - 1,
    referenceSetupId: brindlowSetup.id,
    entries: [
      { ...entry, id: 'a', setup: asTested(hollinSetup), step: breakaway(400) },
      { ...entry, id: 'b', setup: asTested(hollinSetup), step: breakaway(null), repeat: 2 },
      { ...entry, id: 'c', setup: asTested(brindlowSetup), step: forward, role: 'reference', round: 0 },
    ],
    ...changes,
  };
}

function openWithSheet(): WritableDatabase {
  const database = open(temporaryFolder());
  for (const tool of [hollin, brindlow]) saveTool(database, tool);
  for (const pack of [pack1, pack2]) savePack(database, pack);
  for (const setup of [hollinSetup, brindlowSetup]) saveSetup(database, setup);
  insertRunSheet(database, newSheet());
  return database;
}

const from = { runSheetId: 'sheet-1', sessionId: null, operator: 'Demo operator', at } as const;

/** A trial of an entry, kept. */
function storePull(database: WritableDatabase, entryId: string, id: string): void {
  const transducer =
    database.prepare('SELECT 1 FROM session').get() === undefined
      ? seedBench(database)
      : getTrial(database, 'trial-1').conditions.transducer;
  const sheet = getRunSheet(database, 'sheet-1');
  const index = sheet.entries.findIndex((entry) => entry.id === entryId);
  const entry = sheet.entries[index];
  if (!entry) throw new Error(`There is no entry ${entryId}`);
  const { round, repeat, role } = entry;
  const trial = newTrial(transducer, {
    id,
    step: entry.step,
    conditions: {
      ...conditions(transducer),
      setup: entry.setup,
      place: { runSheetId: 'sheet-1', entryId, index, round, repeat, role },
      preparation: { ...nothingFound, packRestedV: 20.25, fastener: 'Bolt A', fastenerPullsSinceNew: 7 },
      restedS: 91.5,
      plannedRestS: 90,
    },
  });
  beginTrial(database, trial, [block(0, [1, 2, 3])]);
  finishRecording(database, id, ended('kept'));
}

describe('a stored run sheet', () => {
  it('comes back as it was made, and its list counts the counted pulls', () => {
    const database = openWithSheet();
    const { entries, ...made } = newSheet();
    expect(getRunSheet(database, 'sheet-1')).toEqual({
      ...made,
      closedAt: null,
      entries: entries.map((entry) => ({ ...entry, state: 'open', skipReason: null, trialIds: [] })),
    });
    storePull(database, 'a', 'trial-1');
    storePull(database, 'c', 'trial-2');
    appendRunSheetEvent(database, { ...from, kind: 'skipped', entryId: 'b', reason: 'No bolt left.' });
    // Made later but at the same instant by the clock.
    insertRunSheet(
      database,
      newSheet({
        id: 'sheet-2',
        entries: newSheet().entries.map((entry) => ({ ...entry, id: `${entry.id}2` })),
      }),
    );
    expect(listRunSheets(database)).toMatchObject([
      { id: 'sheet-2', doneCount: 0, skippedCount: 0, totalCount: 2, setupCount: 1 },
      {
        id: 'sheet-1',
        doneCount: 1,
        skippedCount: 1,
        totalCount: 2,
        planName: shortPlan.name,
        closedAt: null,
      },
    ]);
    database.close();
  });

  it('has its trials with setup, place, preparation, rest and preload as they were', () => {
    const database = openWithSheet();
    storePull(database, 'a', 'trial-1');
    storePull(database, 'b', 'trial-2');
    const { summary, conditions: found } = getTrial(database, 'trial-1');
    expect(summary).toMatchObject({
      step: breakaway(400),
      setup: asTested(hollinSetup),
      place: { runSheetId: 'sheet-1', entryId: 'a', index: 0, round: 1, repeat: 1, role: 'counted' },
    });
    expect(found).toMatchObject({
      setup: summary.setup,
      place: summary.place,
      preparation: { packRestedV: 20.25, fastener: 'Bolt A', fastenerPullsSinceNew: 7 },
      restedS: 91.5,
      plannedRestS: 90,
    });
    expect(getTrial(database, 'trial-2').summary.step).toEqual(breakaway(null));

    // Copies: what becomes of the tool since is another matter.
    saveTool(database, { ...hollin, name: 'Hollin H5 II (demo)', isArchived: true });
    expect(getTrial(database, 'trial-1').summary.setup?.toolName).toBe(hollin.name);
    expect(getRunSheet(database, 'sheet-1').entries[0]?.setup.toolName).toBe(hollin.name);
    database.close();
  });

  it('keeps its setups what they are until it is closed', () => {
    const database = openWithSheet();
    const other = { ...hollinSetup, packId: pack2.id };
    expect(() => {
      saveSetup(database, other);
    }).toThrow(
      expect.objectContaining({
        code: 'invalid-state',
        message: expect.stringMatching(
          /^The open run sheet “Two tools” asks for this setup.*, or close the run sheet first\.$/,
        ) as unknown,
      }),
    );
    appendRunSheetEvent(database, { ...from, kind: 'closed', reason: 'The pack was the wrong one.' });
    saveSetup(database, other);
    expect(getRunSheet(database, 'sheet-1').entries[0]?.setup.packName).toBe(pack1.name);
    database.close();
  });

  it('takes an entry for done as long as a trial of it is kept, also where it was skipped before', () => {
    const database = openWithSheet();
    const stateOf = () => getRunSheet(database, 'sheet-1').entries[0];
    appendRunSheetEvent(database, { ...from, kind: 'skipped', entryId: 'a', reason: 'No bolt left.' });
    expect(stateOf()).toMatchObject({ state: 'skipped', skipReason: 'No bolt left.' });
    storePull(database, 'a', 'trial-1');
    expect(stateOf()).toMatchObject({ state: 'done', skipReason: null, trialIds: ['trial-1'] });
    recordDecision(database, 'trial-1', decision('voided'));
    expect(stateOf()).toMatchObject({ state: 'skipped' });
    appendRunSheetEvent(database, { ...from, kind: 'skipTakenBack', entryId: 'a' });
    expect(stateOf()).toMatchObject({ state: 'open', skipReason: null, trialIds: ['trial-1'] });
    recordDecision(database, 'trial-1', decision('restored'));
    expect(stateOf()).toMatchObject({ state: 'done' });
    database.close();
  });

  it('keeps any order it is put into', () => {
    const database = openWithSheet();
    const order = () =>
      getRunSheet(database, 'sheet-1')
        .entries.map(({ id }) => id)
        .join('');
    for (const [entryId, beforeEntryId, expected] of [
      ['c', 'a', 'cab'],
      ['c', 'b', 'acb'],
      ['a', null, 'cba'],
      ['a', 'b', 'cab'],
      ['a', 'b', 'cab'],
      ['b', null, 'cab'],
    ] as const) {
      placeEntry(database, 'sheet-1', entryId, beforeEntryId);
      expect(order(), `${entryId} before ${beforeEntryId}`).toBe(expected);
    }
    expect(() => {
      placeEntry(database, 'sheet-1', 'a', 'nobody');
    }).toThrow(coded('run-sheet-not-found'));
    expect(order()).toBe('cab');
    database.close();
  });

  it('lets nobody edit or delete what was asked for and what was decided', () => {
    const database = openWithSheet();
    appendRunSheetEvent(database, { ...from, kind: 'skipped', entryId: 'a', reason: 'No bolt left.' });
    for (const [sql, refusal] of [
      [`UPDATE run_sheet SET name = 'x'`, 'never edited'],
      [`UPDATE run_sheet_entry SET rest_s = 0`, 'only moved'],
      [`UPDATE run_sheet_event SET reason = 'x'`, 'never edited'],
      [`DELETE FROM run_sheet_event`, 'never deleted'],
      [`DELETE FROM run_sheet_entry`, 'never deleted'],
      [`DELETE FROM run_sheet`, 'never deleted'],
      [`DELETE FROM setup`, 'never deleted'],
      [`DELETE FROM tool`, 'never deleted'],
      [`DELETE FROM pack`, 'never deleted'],
    ] as const) {
      expect(() => database.exec(sql), sql).toThrow(refusal);
    }
    expect(() => {
      appendRunSheetEvent(database, { ...from, kind: 'skipped', entryId: 'a', reason: '  ' });
    }).toThrow();
    database.close();
  });

  it('says that its database is damaged where a setup cannot be read', () => {
    const database = openWithSheet();
    database.exec(`DROP TRIGGER run_sheet_entry_only_moves; UPDATE run_sheet_entry SET setup_json = '{}'`);
    expect(() => getRunSheet(database, 'sheet-1')).toThrow(coded('database-damaged'));
    database.close();
  });

  it('finds its trials, and those of a setup in a session, by index', () => {
    const database = openWithSheet();
    for (const [sql, index] of [
      [`SELECT 1 FROM trial WHERE entry_id = ? AND state = 'kept' AND is_voided = 0`, 'trial_by_entry'],
      [`SELECT id, entry_id FROM trial WHERE run_sheet_id = ? ORDER BY started_at, id`, 'trial_by_run_sheet'],
      [
        `SELECT id FROM trial WHERE session_id = ? AND setup_id = 'x' ORDER BY started_at`,
        'trial_by_session_and_setup',
      ],
    ] as const) {
      const plan = database
        .prepare<[string], { detail: string }>(`EXPLAIN QUERY PLAN ${sql}`)
        .all('x')
        .map(({ detail }) => detail)
        .join();
      expect(plan).toMatch(new RegExp(`USING (COVERING )?INDEX ${index} `));
      expect(plan).not.toContain('TEMP B-TREE');
    }
    database.close();
  });
});

describe('a setup in hand', () => {
  it('is the one that was confirmed last, unless a sheet came on the bench since', () => {
    const database = openWithSheet();
    seedBench(database);
    expect(setupInHand(database, 'sheet-1')).toBeNull();
    const confirm = (setupId: string, entryId: string): void => {
      appendRunSheetEvent(database, {
        ...from,
        sessionId,
        kind: 'setupConfirmed',
        entryId,
        confirmation: {
          confirmed: { setupId, round: 1, sessionId, preparation: nothingFound, at },
          packId: pack1.id,
          packTakenOff: null,
        },
      });
    };
    appendRunSheetEvent(database, { ...from, kind: 'opened' });
    confirm(hollinSetup.id, 'a');
    confirm(brindlowSetup.id, 'c');
    expect(setupInHand(database, 'sheet-1')).toMatchObject({ setupId: brindlowSetup.id });
    expect(setupInHand(database, 'sheet-2')).toBeNull();
    expect(newestConfirmations(database, 9).map(({ confirmed }) => confirmed.setupId)).toEqual([
      brindlowSetup.id,
      hollinSetup.id,
    ]);
    appendRunSheetEvent(database, { ...from, kind: 'opened' });
    expect(setupInHand(database, 'sheet-1')).toBeNull();
    expect(newestConfirmations(database, 1)).toHaveLength(1);
    database.close();
  });
});
