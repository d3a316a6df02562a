import { mkdtempSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { afterAll, afterEach, beforeAll, beforeEach, describe, expect, it } from 'vitest';
import { annotate, listTags } from '../../main/storage/annotation-repository.ts';
import type { WritableDatabase } from '../../main/storage/database.ts';
import type { NewTrial } from '../../main/storage/recording-repository.ts';
import { relabel } from '../../main/storage/relabelling-repository.ts';
import { insertRunSheet } from '../../main/storage/run-sheet-repository.ts';
import { listTrials, type TrialListQuery } from '../../main/storage/trial-list.ts';
import { recordDecision, saveEvaluation } from '../../main/storage/trial-repository.ts';
import type { PlaceInSheet } from '../../shared-lib/run-sheet/run-sheet-model.ts';
import type { SetupAsTested } from '../../shared-lib/run-sheet/setup-model.ts';
import type { Step } from '../../shared-lib/trial/step-model.ts';
import type { Transducer } from '../../shared-lib/trial/trial-model.ts';
import { shortPlan } from '../helpers/run-sheet-fixture.ts';
import {
  at,
  conditions,
  decision,
  figures,
  open,
  seedBench,
  sessionId,
  storeTrial,
} from './storage-support/bench-fixture.ts';
import { temporaryFolder } from './storage-support/temporary-folder.ts';

const hollinSetup: SetupAsTested = {
  setupId: 'setup-hollin',
  toolId: 'tool-hollin',
  toolName: 'Hollin H5',
  supply: 'battery',
  declaredVibrationMps2: 12,
  declaredNoiseDbA: null,
  packId: 'pack-2',
  packName: 'Pack Nord 2',
  packCapacityAh: 5,
  setting: 'speed 3',
  socket: { name: 'Socket 24 mm', massKg: null, lengthM: null },
};

const place: PlaceInSheet = {
  runSheetId: 'sheet-1',
  entryId: 'entry-1',
  index: 0,
  round: 1,
  repeat: 1,
  role: 'reference',
};

let database: WritableDatabase;
let transducer: Transducer;

const step = (changes: Partial<Step>): Step => ({
  toolName: 'Hollin H5',
  kind: 'tighten',
  direction: 'forward',
  plannedS: 5,
  ...changes,
});

function store(
  id: string,
  minute: number,
  changes: Partial<NewTrial> = {},
  state: Parameters<typeof storeTrial>[2] = 'kept',
): void {
  storeTrial(database, transducer, state, {
    id,
    startedAt: `2026-03-04T05:0${minute}:00.000Z`,
    step: step({}),
    ...changes,
  });
}

/**
 * Trials a to f, a minute apart. a: Hollin H5 with pack 2, of a sheet. b: Tarnwick T6, reverse, tagged. c: with a note,
 * in review. d: interrupted, a stall. e: Tarnwick T6, voided. f: Corvane C8 that was named Hollin H5.
 */
function fillLogbook(folder: string): void {
  database = open(folder);
  transducer = seedBench(database);
  insertRunSheet(database, {
    id: 'sheet-1',
    name: 'Demo sheet',
    createdAt: at,
    operator: '',
    plan: shortPlan,
    order: 'asListed',
    seed: 1,
    referenceSetupId: null,
    entries: [
      { id: 'entry-1', setup: hollinSetup, step: step({}), role: 'reference', round: 1, repeat: 1, restS: 0 },
    ],
  });
  store('a', 1, { conditions: { ...conditions(transducer), setup: hollinSetup, place } });
  saveEvaluation(database, 'a', figures(500), at);
  store('b', 2, { step: step({ toolName: 'Tarnwick T6', direction: 'reverse' }) });
  saveEvaluation(database, 'b', { ...figures(100), quality: { verdict: 'look', reasons: [] } }, at);
  annotate(database, 'b', { note: '', tags: ['Cold', 'publish'], operator: 'Demo', at });
  store('c', 3, { step: step({ toolName: 'Brindlow B4' }) }, 'reviewing');
  saveEvaluation(database, 'c', figures(900), at);
  annotate(database, 'c', { note: 'The lamp of SPEED 3 flickered.', tags: ['cold'], operator: 'Demo', at });
  store('d', 4, { step: step({ kind: 'stall' }) }, 'interrupted');
  store('e', 5, { step: step({ toolName: 'Tarnwick T6' }) });
  recordDecision(database, 'e', decision('voided'));
  store('f', 6);
  relabel(database, 'f', {
    toolName: 'Corvane C8',
    setup: null,
    reason: 'It was the other tool.',
    operator: 'Demo',
    at,
  });
}

const everything: TrialListQuery = { search: '', state: null, offset: 0, limit: 100 };

function found(query: Partial<TrialListQuery>): string {
  const { total, trials } = listTrials(database, { ...everything, ...query });
  expect(total).toBe(trials.length);
  return trials.map(({ id }) => id).join('');
}

describe('the list', () => {
  const folder = mkdtempSync(join(tmpdir(), 'proofarm-list-'));
  beforeAll(() => {
    fillLogbook(folder);
  });
  afterAll(() => {
    database.close();
    rmSync(folder, { recursive: true });
  });

  describe('the search', () => {
    it.each([
      ['a part of the tool', 'hollin', 'da'],
      ['the tool as it is named now', 'corvane', 'f'],
      ['the pack', 'nord', 'a'],
      ['the socket', '24', 'a'],
      ['a word of the note, in any case', 'LAMP', 'c'],
      ['setting or note, wherever it stands', 'speed', 'ca'],
      ['a tag', 'publ', 'b'],
      ['two words in different places', 'cold brindlow', 'c'],
      ['two words in any order, with spaces about', '  nord   hollin ', 'a'],
      ['words of which one is nowhere', 'hollin zebra', ''],
      ['no word across two of the texts', 'h5pack', ''],
      ['nothing: all of them', '   ', 'fedcba'],
    ])('takes %s', (_, search, ids) => {
      expect(found({ search })).toBe(ids);
    });
  });

  describe('the filters', () => {
    it.each<[string, Partial<TrialListQuery>, string]>([
      ['kind', { kind: 'stall' }, 'd'],
      ['direction', { direction: 'reverse' }, 'b'],
      ['verdict', { verdict: 'look' }, 'b'],
      ['verdict of one in review', { verdict: 'good', state: 'reviewing' }, 'c'],
      ['role in the run sheet', { role: 'reference' }, 'a'],
      ['run sheet', { runSheetId: 'sheet-1' }, 'a'],
      ['setup', { setupId: 'setup-hollin' }, 'a'],
      ['session', { sessionId }, 'fedcba'],
      ['another session', { sessionId: 'nobody' }, ''],
      ['tag, in any case', { tag: 'COLD' }, 'cb'],
      ['only a whole tag', { tag: 'col' }, ''],
      ['state', { state: 'kept' }, 'fba'],
      ['voided', { state: 'voided' }, 'e'],
      ['from an instant', { startedFrom: '2026-03-04T05:05:00.000Z' }, 'fe'],
      ['before an instant', { startedBefore: '2026-03-04T05:02:00.000Z' }, 'a'],
      ['all of them together', { search: 't6', direction: 'reverse', tag: 'cold', state: 'kept' }, 'b'],
      ['null as none', { kind: null, tag: null, setupId: null, startedFrom: null }, 'fedcba'],
    ])('take trials by %s', (_, query, ids) => {
      expect(found(query)).toBe(ids);
    });
  });

  describe('the order', () => {
    it.each([
      ['newest', 'fedcba'],
      ['oldest', 'abcdef'],
      // c is in review and d was never kept: their torque is hidden, so they come last, and their places say nothing of it.
      ['strongest', 'afebdc'],
      ['weakest', 'bfeadc'],
      // Brindlow, Corvane, Hollin, Tarnwick; the newest first within each.
      ['tool', 'cfdaeb'],
    ] as const)('can be %s', (sort, ids) => {
      expect(found({ sort })).toBe(ids);
      const pages = [0, 2, 4].map((offset) =>
        listTrials(database, { ...everything, sort, offset, limit: 2 }).trials.map(({ id }) => id),
      );
      expect(pages.flat().join('')).toBe(ids);
    });
  });

  describe('a line of the list', () => {
    it('shows setup, place, tags, and that there is a note', () => {
      const [a] = listTrials(database, { ...everything, search: 'nord' }).trials;
      expect(a).toMatchObject({ setup: hollinSetup, place, hasNote: false, tags: [] });
      const [c] = listTrials(database, { ...everything, search: 'lamp' }).trials;
      expect(c).toMatchObject({ setup: null, place: null, hasNote: true, tags: ['cold'] });
    });
  });
});

describe('the list follows', () => {
  beforeEach(() => {
    fillLogbook(temporaryFolder());
  });
  afterEach(() => database.close());

  it('a note that was changed, and no longer finds the old one', () => {
    annotate(database, 'c', { note: 'Nothing to see.', tags: [], operator: 'Demo', at });
    expect(found({ search: 'lamp' })).toBe('');
    expect(found({ search: 'nothing see' })).toBe('c');
  });

  it('a trial that is kept, in its order by strength', () => {
    recordDecision(database, 'c', decision('kept'));
    expect(found({ sort: 'strongest' })).toBe('cafebd');
  });

  it('tags, which are counted whatever their case, by name', () => {
    expect(listTags(database)).toEqual([
      { tag: 'cold', count: 2 },
      { tag: 'publish', count: 1 },
    ]);
    annotate(database, 'c', { note: '', tags: [], operator: 'Demo', at });
    expect(listTags(database)).toEqual([
      { tag: 'Cold', count: 1 },
      { tag: 'publish', count: 1 },
    ]);
  });
});
