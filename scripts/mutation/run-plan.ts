import { spawn } from 'node:child_process';
import { mkdtempSync, readFileSync, rmSync, statSync, writeFileSync } from 'node:fs';
import { setPriority, tmpdir } from 'node:os';
import { join } from 'node:path';
import { projectRoot } from '../project-root.mjs';
import type { MutationPlan } from './mutation-plan.ts';

export type Outcome = 'killed' | 'endless' | 'survived' | 'unreached';

/** A line of the file in which the process with the tests tells what came of each mutant. */
export interface TriedLine {
  readonly number: number;
  /** 'learning': another file of tests was run as it is, without a mutant. */
  readonly outcome: Outcome | 'started' | 'learning';
  /** The test that failed. */
  readonly by?: string;
  /** Whether its time was up before all tests were tried. */
  readonly isSpent?: boolean;
}

export interface Tried extends TriedLine {
  readonly outcome: Outcome;
}

/** A process that tells nothing for so long hangs in a loop that is not ours, such as one of the language. */
const SILENT_MS = 240_000;
const LOOK_EVERY_MS = 2000;
/** Whatever else runs on the machine goes first. */
const PRIORITY = 15;

/** By number; a mutant that brings the process down counts as endless, and the rest goes on without it. */
export async function runPlan(
  plan: MutationPlan,
  say: (line: string) => void,
): Promise<ReadonlyMap<number, Tried>> {
  const folder = mkdtempSync(join(tmpdir(), 'mutation-'));
  const planFile = join(folder, 'plan.json');
  writeFileSync(planFile, JSON.stringify(plan));
  const results = new Map<number, Tried>();
  try {
    for (let round = 1; results.size < plan.mutants.length; round += 1) {
      const resultsFile = join(folder, `results-${round}.jsonl`);
      writeFileSync(resultsFile, '');
      const output = await runOnce(planFile, resultsFile, [...results.keys()], (count) => {
        say(`${results.size + count} of ${plan.mutants.length} mutants tried.`);
      });
      const lines = readLines(resultsFile);
      for (const line of lines) if (isTried(line)) results.set(line.number, line);
      const last = lines.at(-1);
      if (last === undefined || last.outcome === 'learning') {
        throw new Error(`The tests do not run as they are:\n${output}`);
      }
      if (last.outcome === 'started') {
        say(`Mutant ${last.number} brought the process down; the rest goes on without it.`);
        results.set(last.number, { number: last.number, outcome: 'endless' });
      }
    }
    return results;
  } finally {
    rmSync(folder, { recursive: true, force: true });
  }
}

function isTried(line: TriedLine): line is Tried {
  return line.outcome !== 'started' && line.outcome !== 'learning';
}

function readLines(file: string): TriedLine[] {
  const text = readFileSync(file, 'utf8');
  return text
    .split('\n')
    .filter((line) => line !== '')
    .map((line) => JSON.parse(line) as TriedLine);
}

/** Until it has tried all that is left, or has come down; what it printed. */
async function runOnce(
  planFile: string,
  resultsFile: string,
  done: readonly number[],
  onProgress: (count: number) => void,
): Promise<string> {
  const child = spawn(
    process.execPath,
    [
      join(projectRoot, 'node_modules/vitest/vitest.mjs'),
      'run',
      '--config',
      join(projectRoot, 'scripts/mutation/vitest.config.ts'),
    ],
    {
      cwd: projectRoot,
      // Its own process group, so that its workers end with it; it then has to be ended with this one too.
      detached: process.platform !== 'win32',
      stdio: ['ignore', 'pipe', 'pipe'],
      env: {
        ...process.env,
        MUTATION_PLAN: planFile,
        MUTATION_RESULTS: resultsFile,
        MUTATION_DONE: done.join(','),
      },
    },
  );
  if (child.pid !== undefined) setPriority(child.pid, PRIORITY);
  const end = (): void => {
    endGroup(child.pid);
    process.exit(1);
  };
  process.once('SIGINT', end).once('SIGTERM', end);
  let output = '';
  for (const stream of [child.stdout, child.stderr]) {
    stream.setEncoding('utf8');
    stream.on('data', (chunk: string) => (output += chunk));
  }
  let [size, changedAtMs, told] = [0, performance.now(), 0];
  const watch = setInterval(() => {
    const now = statSync(resultsFile).size;
    if (now !== size) [size, changedAtMs] = [now, performance.now()];
    else if (performance.now() - changedAtMs > SILENT_MS) endGroup(child.pid);
    const count = readLines(resultsFile).filter(isTried).length;
    if (count - told < 100) return;
    told = count;
    onProgress(count);
  }, LOOK_EVERY_MS);
  await new Promise<void>((resolve, reject) => {
    child.once('error', reject);
    child.once('close', () => {
      resolve();
    });
  });
  clearInterval(watch);
  process.off('SIGINT', end).off('SIGTERM', end);
  return output;
}

function endGroup(pid: number | undefined): void {
  if (pid === undefined) return;
  process.kill(process.platform === 'win32' ? pid : -pid, 'SIGKILL');
}
