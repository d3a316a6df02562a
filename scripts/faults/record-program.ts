import { spawn, spawnSync } from 'node:child_process';
import { once } from 'node:events';
import { createReadStream, mkdirSync, rmSync, writeFileSync } from 'node:fs';
import { join } from 'node:path';
import { createInterface } from 'node:readline';
import type { DiskStep } from './lossy-disk.ts';
import { stepsOf, straceOptions } from './recorded-calls.ts';

export interface RecordedProgram {
  /** The folder that the program worked on. */
  readonly folder: string;
  readonly steps: readonly DiskStep[];
  readonly syncs: number;
}

/** Whether this machine has strace and lets it look at a process. */
export function canRecord(): boolean {
  return spawnSync('strace', ['-f', '-o', '/dev/null', 'true'], { stdio: 'ignore' }).status === 0;
}

/**
 * Runs a script on a data folder and records what it asks of the disk. It is given the folder, a file to which it writes what
 * it tells, and the arguments. `work`: a folder for both and for the record.
 */
export async function recordProgram(
  work: string,
  script: string,
  scriptArguments: readonly string[],
): Promise<RecordedProgram> {
  if (!canRecord()) {
    throw new Error(
      'What a program asks of the disk is recorded with strace, which is not here (apt-get install strace) or may not look at processes.',
    );
  }
  const folder = join(work, 'data');
  const marksPath = join(work, 'marks');
  const tracePath = join(work, 'trace');
  mkdirSync(folder);
  writeFileSync(marksPath, '');
  const child = spawn(
    'strace',
    [...straceOptions, '-o', tracePath, process.execPath, script, folder, marksPath, ...scriptArguments],
    { stdio: ['ignore', 'ignore', 'inherit'] },
  );
  const [code] = (await once(child, 'exit')) as [number | null];
  if (code !== 0) throw new Error(`The watched program ended with ${String(code)}`);
  const lines: string[] = [];
  for await (const line of createInterface({ input: createReadStream(tracePath) })) lines.push(line);
  rmSync(tracePath);
  const steps = [...stepsOf(lines, folder, marksPath)];
  const syncs = steps.filter(({ kind }) => kind === 'syncEnds').length;
  if (syncs === 0) throw new Error('The record holds no sync, so it cannot be that of the program');
  return { folder, steps, syncs };
}
