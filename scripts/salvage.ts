import { copyFileSync, existsSync, mkdirSync, rmSync, statSync, writeFileSync } from 'node:fs';
import { homedir } from 'node:os';
import { join, resolve } from 'node:path';
import process from 'node:process';
import { parseArgs } from 'node:util';
import { AppError } from '../shared-lib/app-error.ts';
import { defaultDataFolder } from '../main/platform/default-data-folder.ts';
import { acquireInstanceLock } from '../main/storage/instance-lock.ts';
import { translateFolderError } from '../main/storage/storage-errors.ts';
import type { Output } from './measure-curve.ts';
import { type Salvage, salvageDatabase } from './salvage/salvage-database.ts';

const usage = `proofarm salvage [DATA_FOLDER] [options]   copy what can be read of a damaged database into a new one

  DATA_FOLDER    the data folder with the damaged database; without it the usual one
  --into FOLDER  the new data folder, which must not be there yet (default: beside the old one, named "-salvaged")
  --help         this text

The old folder is left as it is. A backup that holds is the better way: look first what "proofarm doctor" says of it. Captures and
backups stay in the old folder. What was lost is listed, on the screen and in salvage.txt of the new folder; rows that can be read
but have no place without what was lost, and samples whose checksum does not hold, stand in leftovers.jsonl there.

Ends with 0 where everything could be read, with 1 where something was lost or nothing could be done, with 2 where the options
cannot be used.
`;

/** Of what was lost in one table so much is listed on the screen; the file has all of it. */
const MOST_SHOWN = 20;

/** Returns the exit code. */
export function salvage(argv: readonly string[], { stdout, stderr }: Output = process): number {
  const options = readOptions(argv);
  if (options === 'help') {
    stdout.write(usage);
    return 0;
  }
  if ('mistake' in options) {
    stderr.write(`${options.mistake}\n\n${usage}`);
    return 2;
  }
  try {
    const { dataFolder, into } = options;
    const found = salvageInto(dataFolder, into);
    const report = reportOf(found, dataFolder, into);
    writeFileSync(join(into, 'salvage.txt'), `${report.all.join('\n')}\n`);
    stdout.write(`${report.shown.join('\n')}\n`);
    return isAllThere(found) ? 0 : 1;
  } catch (error) {
    if (!(error instanceof AppError)) throw error;
    stderr.write(`${error.message}\n`);
    return 1;
  }
}

function salvageInto(dataFolder: string, into: string): Salvage {
  const filePath = join(dataFolder, 'proofarm.db');
  if (statSync(filePath, { throwIfNoEntry: false }) === undefined) {
    throw new AppError(
      'data-folder-unusable',
      `There is no database in ${dataFolder}. Nothing was changed. Name the folder with the damaged one.`,
    );
  }
  if (existsSync(into)) {
    throw new AppError(
      'data-folder-unusable',
      `${into} is there already. Nothing was changed. Name a new folder by --into.`,
    );
  }
  const lock = acquireInstanceLock(dataFolder);
  if ('runningAt' in lock) {
    throw new AppError(
      'database-locked',
      `The program is running on ${dataFolder}. Nothing was changed. End it, then salvage.`,
    );
  }
  let isDone = false;
  try {
    mkdirSync(into, { recursive: true, mode: 0o700 });
    // Reading takes the log in, which would change the old files.
    const copyPath = join(into, 'damaged.copy');
    for (const end of ['', '-wal']) {
      if (existsSync(`${filePath}${end}`)) copyFileSync(`${filePath}${end}`, `${copyPath}${end}`);
    }
    const found = salvageDatabase(copyPath, {
      filePath: join(into, 'proofarm.db'),
      backupFolder: join(into, 'backups'),
      leftoversPath: join(into, 'leftovers.jsonl'),
    });
    for (const end of ['', '-wal', '-shm']) rmSync(`${copyPath}${end}`, { force: true });
    isDone = true;
    return found;
  } catch (error) {
    throw translateFolderError(error, into);
  } finally {
    // Half a copy would pass for a whole one.
    if (!isDone) rmSync(into, { recursive: true, force: true });
    lock.release();
  }
}

function isAllThere({ tables, putAside, emptied }: Salvage): boolean {
  return (
    tables.every(({ lostKeys, isReadToTheEnd }) => (lostKeys?.length ?? 0) === 0 && isReadToTheEnd) &&
    putAside.length + emptied.length === 0
  );
}

function reportOf(
  found: Salvage,
  dataFolder: string,
  into: string,
): { readonly all: readonly string[]; readonly shown: readonly string[] } {
  const head = [`What can be read of the database in ${dataFolder} was copied to ${into}.`];
  const sections = found.tables.flatMap(({ name, copiedRows, lostKeys, isReadToTheEnd }) => {
    if (isReadToTheEnd && (lostKeys?.length ?? 0) === 0) return [];
    const lost = lostKeys === null ? 'how many are lost cannot be told' : `${lostKeys.length} lost`;
    const end = isReadToTheEnd ? '' : ' Parts of it could not be looked at.';
    return [{ title: `${name}: ${copiedRows} rows copied, ${lost}.${end}`, lines: lostKeys ?? [] }];
  });
  const asides = [...Map.groupBy(found.putAside, ({ table, why }) => `${table}: ${why}`)].map(
    ([what, rows]) => `${rows.length} of ${what}`,
  );
  const more = [
    { title: 'References that were emptied:', lines: found.emptied },
    { title: 'Put aside in leftovers.jsonl, since the new database cannot take it:', lines: asides },
  ].filter(({ lines }) => lines.length > 0);
  const copied = found.tables.reduce((sum, { copiedRows }) => sum + copiedRows, 0);
  const tail = [
    isAllThere(found)
      ? `All ${copied} rows could be read. Nothing was lost.`
      : `${copied} rows were copied. Compare the list with a backup: what is missing here may be whole there.`,
    `The old folder is as it was. Start with the new one: npm start -- --data "${into}"`,
  ];
  const listed = (most: number): string[] =>
    [...sections, ...more].flatMap(({ title, lines }) => [
      title,
      ...lines.slice(0, most).map((line) => `  ${line}`),
      ...(lines.length > most ? [`  and ${lines.length - most} more, see salvage.txt`] : []),
    ]);
  return {
    all: [...head, ...listed(Infinity), ...tail],
    shown: [...head, ...listed(MOST_SHOWN), ...tail],
  };
}

function readOptions(
  argv: readonly string[],
): { readonly dataFolder: string; readonly into: string } | { readonly mistake: string } | 'help' {
  try {
    const { values, positionals } = parseArgs({
      args: [...argv],
      allowPositionals: true,
      options: { into: { type: 'string' }, help: { type: 'boolean', default: false } },
    });
    if (values.help) return 'help';
    const [named, ...others] = positionals;
    if (others.length > 0 || named === '' || values.into === '') return { mistake: 'Name one data folder.' };
    const dataFolder = resolve(named ?? defaultDataFolder(process.platform, process.env, homedir()));
    return { dataFolder, into: resolve(values.into ?? `${dataFolder}-salvaged`) };
  } catch (error) {
    return { mistake: error instanceof Error ? error.message : String(error) };
  }
}
