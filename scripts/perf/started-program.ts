import { type ChildProcess, spawn } from 'node:child_process';
import { once } from 'node:events';
import { createInterface } from 'node:readline';
import { inProject } from '../project-root.mjs';

/** The whole program, started as a person starts it, without its window. */
export interface StartedProgram {
  readonly url: string;
  readonly process: ChildProcess;
  end(): Promise<void>;
}

/** A start that fails can leave the process there without a word. */
const LONGEST_START_MS = 30_000;

export async function startWholeProgram(programArguments: readonly string[]): Promise<StartedProgram> {
  const child = spawn(
    process.execPath,
    [inProject('scripts', 'start.mjs'), '--no-window', ...programArguments],
    { stdio: ['ignore', 'pipe', 'inherit'] },
  );
  const exited = once(child, 'exit');
  const tooLong = setTimeout(() => {
    child.kill('SIGKILL');
  }, LONGEST_START_MS);
  const url = await new Promise<string>((resolve, reject) => {
    createInterface({ input: child.stdout }).on('line', (line) => {
      const address = /^Address: (http\S+)$/.exec(line)?.[1];
      if (address !== undefined) resolve(address);
    });
    void exited.then(([code]) => {
      reject(new Error(`The program ended with ${String(code)} before it said its address`));
    });
  });
  clearTimeout(tooLong);
  return {
    url,
    process: child,
    async end() {
      child.kill('SIGINT');
      await exited;
    },
  };
}
