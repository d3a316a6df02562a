import { copyFileSync } from 'node:fs';
import { join } from 'node:path';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { openDatabase } from '../../main/storage/open-database.ts';
import { saveSettings } from '../../main/storage/settings-repository.ts';
import { fillCatalogue } from '../../scripts/demo/fill-catalogue.ts';
import { fillTrials } from '../../scripts/demo/fill-workshop.ts';
import type { RecomputeReport } from '../../shared-lib/package/package-model.ts';
import type { Subject } from '../../shared-lib/publishing/publishing-model.ts';
import { reportSchema } from '../../shared-lib/report/report-model.ts';
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

async function packed(bench: PublishedBench, subject: Subject): Promise<PackageInMemory> {
  const job = await bench.make({ makes: 'package', subject, withPhotos: false, licence: null });
  expect(job).toMatchObject({ state: 'done' });
  return PackageInMemory.read(join(bench.folder, job.fileName ?? ''));
}

async function recomputed(bench: PublishedBench, subject: Subject): Promise<RecomputeReport> {
  return (await packed(bench, subject)).recompute();
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

/** Of each kind that has a report: the first there is. */
async function subjectsOf({ handlers }: PublishedBench): Promise<Subject[]> {
  const { sessions } = await handlers.listSessions({ offset: 0, limit: 1 });
  const { trials } = await handlers.listTrials({ search: '', state: 'kept', offset: 0, limit: 1 });
  const { editions } = await handlers.listEditions({ tableId: 'demo-table-half-inch' });
  const trialId = trials[0]?.id ?? '';
  const calibrationId = (await handlers.getTrial({ trialId })).conditions.calibrationId;
  return [
    { kind: 'trial', trialId },
    { kind: 'comparison', asked: askedOf('tarnwick-t6', 'hollin-h5') },
    { kind: 'session', sessionId: sessions[0]?.id ?? '' },
    { kind: 'calibration', calibrationId },
    { kind: 'standings', tableId: 'demo-table-all' },
    { kind: 'edition', editionId: editions[0]?.id ?? '' },
  ];
}

/** Identity and file, as the report's last table has them. */
async function identitiesOf({ handlers }: PublishedBench, subject: Subject): Promise<string[][]> {
  const report = reportSchema.parse(await handlers.getReport({ subject, torqueUnit: 'Nm' }));
  const section = report.sections.find(({ heading }) => heading === 'Where the data are');
  const table = section?.blocks.find((block) => block.kind === 'table');
  return (table?.rows ?? []).map(([, id = '', where = '']) => [id, where]);
}

describe('a report', () => {
  it('sends whoever doubts it to files that the package of the same subject has, with the identities in them', async () => {
    const bench = await openDemo();
    for (const subject of await subjectsOf(bench)) {
      const identities = await identitiesOf(bench, subject);
      expect(identities.length, subject.kind).toBeGreaterThan(0);
      const files = await packed(bench, subject);
      for (const [id = '', where = ''] of identities) {
        const named = where.split(', ').filter((part) => part.includes('/'));
        expect(files.names(), `${subject.kind}: ${where}`).toEqual(expect.arrayContaining(named));
        for (const name of named) expect(await files.text(name), name).toContain(id);
      }
    }
  });
});
