import { existsSync } from 'node:fs';
import { homedir } from 'node:os';
import { join, resolve } from 'node:path';
import process from 'node:process';
import { parseArgs } from 'node:util';
import { defaultDataFolder } from '../main/platform/default-data-folder.ts';
import { prepareDataFolder } from '../main/storage/data-folder.ts';
import { openDatabase } from '../main/storage/open-database.ts';
import { AppError } from '../shared-lib/app-error.ts';
import { fillCatalogue } from './demo/fill-catalogue.ts';
import { fillTrials } from './demo/fill-workshop.ts';
import type { Output } from './measure-curve.ts';

const usage = `npx proofarm demo [--data DIR]

Fills a new data folder with an invented workshop: eleven tools, four sessions, two calibrations, faults, prices, claims,
ratings, a scheme, tables and an edition. Nothing in it is real, and all of it is marked as simulated.

  --data DIR   the folder, which must hold no data yet (default: beside the usual one, named "-demo")
  --help       this text
`;

/** Returns the exit code. */
export async function makeDemo(argv: string[], { stdout, stderr }: Output = process): Promise<number> {
  const chosen = readFolder(argv);
  if (chosen === 'help') {
    stdout.write(usage);
    return 0;
  }
  if ('mistake' in chosen) {
    stderr.write(`${chosen.mistake}\n\n${usage}`);
    return 2;
  }
  const { folder } = chosen;
  const filePath = join(folder, 'proofarm.db');
  if (existsSync(filePath)) {
    stderr.write(
      `There is data in ${folder} already. Nothing was changed. Name another folder by --data, or look at what is there: npm start -- --data "${folder}"\n`,
    );
    return 1;
  }
  try {
    prepareDataFolder(folder);
    const log = { info: () => undefined, warn: () => undefined };
    const database = openDatabase({
      filePath,
      backupFolder: join(folder, 'backups'),
      now: () => new Date(),
      log,
    });
    fillTrials(database);
    await fillCatalogue(database);
    database.close();
  } catch (error) {
    if (!(error instanceof AppError)) throw error;
    stderr.write(`${error.message}\n`);
    return 1;
  }
  stdout.write(`The demo workshop is in ${folder}. Look at it: npm start -- --data "${folder}"\n`);
  return 0;
}

function readFolder(argv: string[]): { readonly folder: string } | { readonly mistake: string } | 'help' {
  try {
    const { values } = parseArgs({
      args: argv,
      options: { data: { type: 'string' }, help: { type: 'boolean', default: false } },
    });
    if (values.help) return 'help';
    if (values.data === '') return { mistake: '--data must name a folder.' };
    const folder = values.data ?? `${defaultDataFolder(process.platform, process.env, homedir())}-demo`;
    return { folder: resolve(folder) };
  } catch (error) {
    return { mistake: error instanceof Error ? error.message : String(error) };
  }
}
