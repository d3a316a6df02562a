import { copyFileSync } from 'node:fs';
import { join } from 'node:path';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { openDatabase } from '../../main/storage/open-database.ts';
import { saveSettings } from '../../main/storage/settings-repository.ts';
import { fillCatalogue } from '../../scripts/demo/fill-catalogue.ts';
import { fillTrials } from '../../scripts/demo/fill-workshop.ts';
import type { RecomputeReport } from '../../shared-lib/package/package-model.ts';
import type { Subject } from '../../shared-lib/publishing/publishing-model.ts';
import { makeDataFolder } from '../helpers/running-services.ts';
import { openPublishedBench, type PublishedBench } from './publishing-support/published-bench.ts';
import { askedOf } from './recompute-support/pack-demo.ts';
import { differences, PackageInMemory } from './recompute-support/package-in-memory.ts';

/** Packages as the program makes them of what it shows: what a figure rests on is in them, so that nothing is taken as published. */
const folder = makeDataFolder();

beforeAll(async () => {
  const database = openDatabase({
    filePath: join(folder.path, 'proofarm.db'),
    backupFolder: join(folder.path, 'backups'),
    now: () => new Date('2026-02-20T09:00:00.000Z'),
    log: { info: () => undefined, warn: () => undefined },
  });
  fillTrials(database);
  await fillCatalogue(database);
  saveSettings(database, { connectAtStart: 'none' });
  database.close();
});

afterAll(() => {
  folder.remove();
});

function openDemo(): Promise<PublishedBench> {
  return openPublishedBench({
    prepare: (dataFolder) => {
      copyFileSync(join(folder.path, 'proofarm.db'), join(dataFolder, 'proofarm.db'));
    },
  });
}

async function recomputed(bench: PublishedBench, subject: Subject): Promise<RecomputeReport> {
  const job = await bench.make({ makes: 'package', subject, withPhotos: false, licence: null });
  expect(job).toMatchObject({ state: 'done' });
  return (await PackageInMemory.read(join(bench.folder, job.fileName ?? ''))).recompute();
}

const asPublished = ({ findings }: RecomputeReport): string[] =>
  findings.map(({ what }) => what).filter((what) => what.includes('taken as published'));

describe('a package', () => {
  it('of a comparison across sessions has the trials from which the day-to-day scatter follows', async () => {
    const report = await recomputed(await openDemo(), {
      kind: 'comparison',
      asked: askedOf('pellmar-p7', 'tarnwick-t6', { sessionIds: ['demo-session-1', 'demo-session-3'] }),
    });
    expect(differences(report)).toEqual([]);
    expect(asPublished(report)).toEqual([]);
  });

  it.each([
    ['standings', { kind: 'standings', tableId: 'demo-table-all' }],
    ['an edition', { kind: 'edition', editionId: 'newest' }],
  ] as const)('of %s has the tools in it that were never pulled', async (_, subject) => {
    const bench = await openDemo();
    const { editions } = await bench.handlers.listEditions({ tableId: 'demo-table-half-inch' });
    const report = await recomputed(
      bench,
      subject.kind === 'edition' ? { kind: 'edition', editionId: editions[0]?.id ?? '' } : subject,
    );
    expect(differences(report)).toEqual([]);
    expect(asPublished(report).filter((what) => what.includes('The tool itself'))).toEqual([]);
  });
});
