import { copyFileSync } from 'node:fs';
import { dirname, join } from 'node:path';
import { describe, expect, it } from 'vitest';
import { saveSetup } from '../../main/storage/bench-item-repository.ts';
import type { WritableDatabase } from '../../main/storage/database.ts';
import { insertRating } from '../../main/storage/rating-repository.ts';
import { relabel } from '../../main/storage/relabelling-repository.ts';
import { saveToolVersion } from '../../main/storage/tool-details-repository.ts';
import { insertMerge } from '../../main/storage/tool-merge-repository.ts';
import { demoTools, detailsOf, type DemoTool, setupOf, toolOf } from '../../scripts/demo/scenario.ts';
import type { ToolDetails } from '../../shared-lib/catalogue/catalogue-model.ts';
import type { Subject } from '../../shared-lib/publishing/publishing-model.ts';
import { openPublishedBench, type PublishedBench } from './publishing-support/published-bench.ts';
import { askedOf } from './recompute-support/pack-demo.ts';
import { differences, PackageInMemory } from './recompute-support/package-in-memory.ts';
import { fillSmallWorkshop, OPERATOR, PLANNED_S, TABLE_ID } from './recompute-support/small-workshop.ts';
import { open } from './storage-support/bench-fixture.ts';
import { temporaryFolder } from './storage-support/temporary-folder.ts';

const hollin = hollinOf(demoTools);
const at = '2026-03-25T10:00:00.000Z';

function hollinOf([first]: readonly DemoTool[]): DemoTool {
  if (first === undefined) throw new Error('The demo has no tools');
  return first;
}

/** Another entry, made by hand or taken in from elsewhere. */
function enter(
  database: WritableDatabase,
  {
    details = {},
    ...tool
  }: { id: string; name: string; isArchived: boolean; details?: Partial<ToolDetails> },
): void {
  saveToolVersion(
    database,
    { tool: { ...toolOf(hollin), ...tool }, details: { ...detailsOf(hollin), ...details } },
    { operator: OPERATOR, at: '2026-03-21T09:00:00.000Z' },
  );
}

function merge(database: WritableDatabase, toolId: string, intoToolId: string | null): void {
  insertMerge(database, { toolId, intoToolId, reason: 'One tool (demo)', operator: OPERATOR, at });
}

/** All its pulls were put right to this name, without a setup. */
function nameByHand(database: WritableDatabase, toolName: string): void {
  const trialIds = database
    .prepare<[string], string>('SELECT id FROM trial WHERE shown_setup_id = ?')
    .pluck()
    .all(setupOf(hollin).id);
  for (const trialId of trialIds) {
    relabel(database, trialId, { toolName, setup: null, reason: 'Typed by hand.', operator: OPERATOR, at });
  }
}

interface Case {
  readonly b: string;
  /** Tools without which whoever has the package alone could not tell whose trials and ratings they are. */
  readonly toolIds: readonly string[];
  readonly fill: (database: WritableDatabase) => void;
}

const cases: Readonly<Record<string, Case>> = {
  'another entry was merged in that was never pulled and that somebody else had rated': {
    b: `setup:${setupOf(hollin).id}`,
    toolIds: ['twin'],
    fill(database) {
      enter(database, { id: 'twin', name: 'Hollin twin', isArchived: true });
      insertRating(database, { toolId: 'twin', rater: 'Bo', score: 3, isBlind: false, note: '', at });
      merge(database, 'twin', hollin.id);
    },
  },
  'another entry was merged in that is of another class': {
    b: `setup:${setupOf(hollin).id}`,
    toolIds: ['twin'],
    fill(database) {
      enter(database, {
        id: 'twin',
        name: 'Hollin twin',
        isArchived: true,
        details: { toolClass: 'impactDriver' },
      });
      merge(database, 'twin', hollin.id);
    },
  },
  'the entry that was pulled was merged into one with a setup that reads alike and was never pulled': {
    b: 'setup:setup-survivor',
    toolIds: ['survivor'],
    fill(database) {
      enter(database, { id: 'survivor', name: 'Hollin H5 proper', isArchived: false });
      saveSetup(database, { ...setupOf(hollin), id: 'setup-survivor', toolId: 'survivor' });
      merge(database, hollin.id, 'survivor');
    },
  },
  'trials have the name of a merged entry and no setup': {
    b: 'name:hollin h5',
    toolIds: ['twin'],
    fill(database) {
      enter(database, { id: 'twin', name: 'Hollin twin', isArchived: true });
      merge(database, 'twin', hollin.id);
      nameByHand(database, 'Hollin twin');
    },
  },
  'trials have the name of a tool that was put away and no setup': {
    b: 'name:hollin of old',
    toolIds: ['put-away'],
    fill(database) {
      enter(database, { id: 'put-away', name: 'Hollin of old', isArchived: true });
      nameByHand(database, 'HOLLIN of old');
    },
  },
  'trials have a name that two tools had which were put away, and no setup': {
    b: 'name:hollin of old',
    toolIds: ['put-away', 'put-away-too'],
    fill(database) {
      enter(database, { id: 'put-away', name: 'Hollin of old', isArchived: true });
      enter(database, { id: 'put-away-too', name: 'Hollin of old', isArchived: true });
      nameByHand(database, 'Hollin of old');
    },
  },
  'a merge was taken back': {
    b: `setup:${setupOf(hollin).id}`,
    toolIds: ['twin'],
    fill(database) {
      enter(database, { id: 'twin', name: 'Hollin twin', isArchived: false });
      merge(database, 'twin', hollin.id);
      merge(database, 'twin', null);
    },
  },
};

async function openFilled(fill: Case['fill']): Promise<PublishedBench> {
  const filePath = join(temporaryFolder(), 'proofarm.db');
  const database = open(dirname(filePath), { filePath });
  try {
    await fillSmallWorkshop(database);
    fill(database);
  } finally {
    database.close();
  }
  return openPublishedBench({
    prepare: (dataFolder) => {
      copyFileSync(filePath, join(dataFolder, 'proofarm.db'));
    },
  });
}

async function pack(bench: PublishedBench, subject: Subject): Promise<PackageInMemory> {
  const job = await bench.make({ makes: 'package', subject, withPhotos: false, licence: null });
  expect(job).toMatchObject({ state: 'done' });
  return PackageInMemory.read(join(bench.folder, job.fileName ?? ''));
}

/** What a critic finds in it that is not as the figures say, or that had to be taken as published. */
async function foundIn(files: PackageInMemory): Promise<string[]> {
  const report = await files.recompute();
  const notes = report.findings.map(({ what }) => what);
  return [
    ...differences(report),
    ...notes.filter((what) => what.includes('taken as published') || what.includes('not in the edition')),
  ];
}

async function makeEdition({ handlers }: PublishedBench): Promise<Subject> {
  const { id } = await handlers.makeEdition({ tableId: TABLE_ID, name: 'Today (demo)', note: '' });
  return { kind: 'edition', editionId: id };
}

describe.each(Object.entries(cases))('where %s', (_, { b, toolIds, fill }) => {
  it('packages of a comparison, of standings and of an edition say what their raw counts say', async () => {
    const bench = await openFilled(fill);
    const step = { kind: 'tighten', direction: 'forward', plannedS: PLANNED_S } as const;
    const asked = { ...askedOf('tarnwick-t6', 'hollin-h5', { step }), b };
    for (const subject of [
      { kind: 'comparison', asked },
      { kind: 'standings', tableId: TABLE_ID },
      await makeEdition(bench),
    ] as const) {
      const files = await pack(bench, subject);
      expect(await foundIn(files), subject.kind).toEqual([]);
      const tools = await files.text('data/tool.csv');
      for (const id of toolIds) expect(tools, subject.kind).toContain(`\r\n${id},`);
    }
  });
});

describe('a package of an edition', () => {
  it('has the tools that were called alike when it was frozen, whatever they are called now', async () => {
    const bench = await openFilled((database) => {
      enter(database, { id: 'put-away', name: 'Hollin of old', isArchived: true });
      enter(database, { id: 'put-away-too', name: 'Hollin of old', isArchived: true });
      nameByHand(database, 'Hollin of old');
    });
    const subject = await makeEdition(bench);
    const tool = { ...toolOf(hollin), id: 'put-away-too', name: 'Called otherwise', isArchived: true };
    await bench.handlers.saveCatalogueTool({ tool, details: detailsOf(hollin) });
    expect(await foundIn(await pack(bench, subject))).toEqual([]);
  });
});
