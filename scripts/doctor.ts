import { homedir } from 'node:os';
import { resolve } from 'node:path';
import process from 'node:process';
import { parseArgs } from 'node:util';
import { defaultDataFolder } from '../main/platform/default-data-folder.ts';
import { looked } from './doctor/finding.ts';
import { lookAtComputer } from './doctor/look-at-computer.ts';
import { lookAtData } from './doctor/look-at-data.ts';
import type { Output } from './measure-curve.ts';

const usage = `proofarm doctor [options]   look over ports, rights, disk, database and backups

  --data DIR   the data folder; without it the usual one
  --deep       read every block of samples too
  --help       this text

Nothing is changed. Each line says good, look or wrong, and what to do. Ends with 0; with 1 where something is wrong, with 2 where
the options cannot be used.
`;

/** Returns the exit code. */
export async function examine(
  argv: readonly string[],
  { stdout, stderr }: Output = process,
): Promise<number> {
  let values: { data?: string | undefined; deep?: boolean; help?: boolean };
  try {
    ({ values } = parseArgs({
      args: [...argv],
      options: {
        data: { type: 'string' },
        deep: { type: 'boolean', default: false },
        help: { type: 'boolean', default: false },
      },
    }));
  } catch (error) {
    stderr.write(`${error instanceof Error ? error.message : String(error)}\n\n${usage}`);
    return 2;
  }
  if (values.help === true) {
    stdout.write(usage);
    return 0;
  }
  const dataFolder = resolve(values.data ?? defaultDataFolder(process.platform, process.env, homedir()));
  const findings = [
    ...(await lookAtComputer()),
    ...(await looked(
      'Data folder',
      () => lookAtData(dataFolder, values.deep === true),
      'Give your user rights on the way there, or choose another folder with --data.',
    )),
  ];
  for (const { about, word, sentence } of findings) {
    stdout.write(`${word.padEnd(5)}  ${about.padEnd(12)}  ${sentence}\n`);
  }
  return findings.some(({ word }) => word === 'wrong') ? 1 : 0;
}
