import { execFile, spawn } from 'node:child_process';
import { once } from 'node:events';
import { cpSync, mkdirSync, mkdtempSync, readFileSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { dirname, join } from 'node:path';
import process from 'node:process';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { openZip } from '../../main/recompute/open-zip.ts';
import type { WritableDatabase } from '../../main/storage/database.ts';
import { openDatabase } from '../../main/storage/open-database.ts';
import { buildRecompute } from '../../scripts/build-parts.mjs';
import { fillCatalogue } from '../../scripts/demo/fill-catalogue.ts';
import { fillTrials } from '../../scripts/demo/fill-workshop.ts';
import { recomputeReportSchema } from '../../shared-lib/package/package-model.ts';
import { publishedComparisonSchema } from '../../shared-lib/recompute/recompute-comparison.ts';
import { standingsInputSchema } from '../../shared-lib/standings/standings-model.ts';
import { allOfDemo, packDemo, publish, type Published } from './recompute-support/pack-demo.ts';
import { differences, PackageInMemory } from './recompute-support/package-in-memory.ts';

/** The demo workshop, packed by the program's own parts and computed again by the file that travels with the package. */
let folder = '';
let database: WritableDatabase;
let published: Published[] = [];

const inFolder = (...names: string[]): string => join(folder, ...names);
const databasePath = (): string => inFolder('proofarm.db');
const recomputeFile = (): string => inFolder('built', 'recompute.mjs');

beforeAll(async () => {
  folder = mkdtempSync(join(tmpdir(), 'proofarm-test-'));
  await buildRecompute(inFolder('built'));
  database = openDatabase({
    filePath: databasePath(),
    backupFolder: inFolder('backups'),
    now: () => new Date('2026-02-20T09:00:00.000Z'),
    log: { info: () => undefined, warn: () => undefined },
  });
  fillTrials(database);
  await fillCatalogue(database);
  published = await publish(database, allOfDemo);
  await packDemo({
    databasePath: databasePath(),
    targetFile: inFolder('demo.zip'),
    recomputeFile: recomputeFile(),
    published,
  });
});

afterAll(() => {
  database.close();
  rmSync(folder, { recursive: true, force: true });
});

interface Run {
  readonly code: number;
  readonly out: string;
  readonly complaint: string;
}

/** With nothing of this project in reach: no folder, no setting of the environment. */
function runAlone(cwd: string, ...argv: string[]): Promise<Run> {
  return run(cwd, {}, join(cwd, 'recompute.mjs'), ...argv);
}

function run(cwd: string, env: NodeJS.ProcessEnv, ...argv: string[]): Promise<Run> {
  return new Promise((resolve) => {
    execFile(process.execPath, argv, { cwd, env, maxBuffer: 2 ** 26 }, (error, out, complaint) => {
      resolve({
        code: typeof error?.code === 'number' ? error.code : error === null ? 0 : -1,
        out,
        complaint,
      });
    });
  });
}

function emptyFolder(name: string): string {
  mkdirSync(inFolder(name));
  cpSync(recomputeFile(), inFolder(name, 'recompute.mjs'));
  return inFolder(name);
}

async function unpack(zipPath: string, into: string): Promise<void> {
  const zip = openZip(zipPath);
  for (const name of zip.names()) {
    mkdirSync(dirname(join(into, name)), { recursive: true });
    writeFileSync(join(into, name), await zip.bytes(name));
  }
}

describe('the data package of the demo workshop', () => {
  it('agrees in every figure, computed by the file that travels with it, alone in an empty folder', async () => {
    const alone = emptyFolder('alone');
    cpSync(inFolder('demo.zip'), join(alone, 'demo.zip'));
    const { code, out, complaint } = await runAlone(alone, 'demo.zip');
    expect(complaint).toBe('');
    expect(out).not.toMatch(/DIFFER/);
    for (const kind of [
      'figures of trials from raw counts',
      'sample rates from arrival times',
      'comparisons',
      'points, totals and places',
      'ranges of places',
      'fingerprints',
    ]) {
      expect(out).toMatch(new RegExp(`${kind} +[1-9]\\d* agree`));
    }
    expect(out).toMatch(/100 trials/);
    expect(out).toMatch(/What this cannot show: whether the raw counts were measured at all/);
    expect(code).toBe(0);
  });

  it('is unpacked into a folder and computed by the file in it; one changed count ends it with 1 and both figures', async () => {
    const unpacked = inFolder('unpacked');
    await unpack(inFolder('demo.zip'), unpacked);
    const counts = join(unpacked, 'data', 'counts', 'demo-sheet-1-entry-3-a.csv');
    writeFileSync(counts, readFileSync(counts, 'utf8').replace(/\r\n3000,-?\d+\r\n/, '\r\n3000,3000000\r\n'));
    const { code, out } = await runAlone(unpacked, '.', '--json');
    expect(code).toBe(1);
    const report = recomputeReportSchema.parse(JSON.parse(out));
    expect(report.counts.find(({ what }) => what === 'files')).toMatchObject({ differing: 1 });
    expect(report.counts.find(({ what }) => what === 'calibrations')?.differing ?? 0).toBe(0);
    const found = differences(report).join('\n');
    expect(found).toMatch(/demo-sheet-1-entry-3-a\.csv: Its SHA-256 is|It has \d+ bytes/);
    expect(found).toMatch(
      /trial demo-sheet-1-entry-3-a, highest reading, value: the package says [\d.]+.*computed: [\d.]+/,
    );
  });

  it.each([
    [0, 'within a session'],
    [1, 'by a time'],
    [2, 'across sessions, at a level that nobody had asked for'],
    [3, 'of one pull each'],
  ])('agrees with nothing but the trials of comparison %i in it, %s', async (index) => {
    const file = published[index]!;
    const { comparison } = publishedComparisonSchema.parse(JSON.parse(file.json));
    await packDemo({
      databasePath: databasePath(),
      targetFile: inFolder(`compared-${index}.zip`),
      recomputeFile: recomputeFile(),
      published: [file],
      trialIds: comparison.trials.map(({ trialId }) => trialId),
    });
    const report = await (await PackageInMemory.read(inFolder(`compared-${index}.zip`))).recompute();
    expect(differences(report)).toEqual([]);
    expect(report.counts.find(({ what }) => what === 'comparisons')?.agreeing).toBeGreaterThan(50);
  });

  it.each([
    ['standings-1.json', 'a table'],
    ['edition-1.json', 'an edition that is older than a price and a void'],
  ])('agrees with nothing but the trials of %s in it, %s', async (fileName) => {
    const file = published.find((one) => one.fileName === fileName)!;
    const content: { input: unknown } = JSON.parse(file.json);
    const input = standingsInputSchema.parse(content.input);
    const targetFile = inFolder(fileName.replace('.json', '.zip'));
    await packDemo({
      databasePath: databasePath(),
      targetFile,
      recomputeFile: recomputeFile(),
      published: [file],
      trialIds: input.trials.map(({ trialId }) => trialId),
    });
    const report = await (await PackageInMemory.read(targetFile)).recompute();
    expect(differences(report)).toEqual([]);
    expect(report.counts.find(({ what }) => what === 'what standings rest on')?.agreeing).toBeGreaterThan(
      500,
    );
  });
});

describe('the file that travels with packages', () => {
  it('imports nothing but what Node brings along', () => {
    const imports = [...readFileSync(recomputeFile(), 'utf8').matchAll(/^import .* from "([^"]+)";$/gm)];
    expect(imports.length).toBeGreaterThan(0);
    expect(imports.map(([, name]) => name).filter((name) => !name?.startsWith('node:'))).toEqual([]);
  });

  it('ends with 2 and says why where there is no package', async () => {
    const alone = emptyFolder('nothing');
    for (const [argv, told] of [
      [[], /Name one package/],
      [['missing.zip'], /missing\.zip: There is no such file or folder/],
      [['recompute.mjs'], /recompute\.mjs: It is neither a folder nor a ZIP file/],
      [['.'], /There is no datapackage\.json, so this is no data package/],
      [['--fast', '.'], /There is no option --fast/],
    ] as const) {
      const { code, complaint, out } = await runAlone(alone, ...argv);
      expect(complaint).toMatch(told);
      expect(out).toBe('');
      expect(code).toBe(2);
    }
  });

  it('ends with 2 for a package of another format, and with 1 for one that was not copied whole', async () => {
    const other = inFolder('other');
    await unpack(inFolder('demo.zip'), other);
    const descriptor = readFileSync(join(other, 'datapackage.json'), 'utf8');
    writeFileSync(join(other, 'datapackage.json'), descriptor.replace('"format": 1', '"format": 99'));
    const { code, complaint } = await runAlone(other, '.');
    expect(complaint).toMatch(/The package has format 99, and this program reads format 1/);
    expect(code).toBe(2);

    writeFileSync(join(other, 'datapackage.json'), descriptor);
    rmSync(join(other, 'data', 'trial_evaluation.csv'));
    const torn = await runAlone(other, '.');
    expect(torn.out).toMatch(
      /data\/trial_evaluation\.csv: It is listed in datapackage\.json, and is not there/,
    );
    expect(torn.code).toBe(1);
  });

  it('ends with its own code when whoever read it has hung up', async () => {
    const alone = emptyFolder('hung-up');
    cpSync(inFolder('demo.zip'), join(alone, 'demo.zip'));
    const child = spawn(process.execPath, ['recompute.mjs', 'demo.zip'], { cwd: alone, env: {} });
    let complaint = '';
    child.stderr.on('data', (chunk: Buffer) => (complaint += chunk.toString()));
    child.stdout.destroy();
    const [code] = (await once(child, 'close')) as [number | null];
    expect(complaint).toBe('');
    expect(code).toBe(0);
  });

  it('does the same from inside the project', async () => {
    const { code, out } = await run(
      process.cwd(),
      { ...process.env },
      'scripts/proofarm.mjs',
      'recompute',
      inFolder('demo.zip'),
      '--json',
    );
    expect(code).toBe(0);
    const report = recomputeReportSchema.parse(JSON.parse(out));
    expect(report).toMatchObject({ trialCount: 100, differing: 0 });
    expect(report.agreeing).toBeGreaterThan(10_000);
  });
});
