import { type ChildProcessByStdio, spawn } from 'node:child_process';
import { createInterface } from 'node:readline';
import type { Readable } from 'node:stream';
import { fileURLToPath } from 'node:url';
import { onTestFinished } from 'vitest';

export interface Child {
  /** The next whole line that it says; undefined when it has ended. */
  nextLine(): Promise<string | undefined>;
  /** Ends it as a power cut would, and waits until it is gone. */
  killHard(): Promise<void>;
}

/** Runs a script of this folder in a process of its own. */
export function startChild(script: string, ...parameters: readonly string[]): Child {
  const path = fileURLToPath(new URL(script, import.meta.url));
  const child: ChildProcessByStdio<null, Readable, null> = spawn(
    process.execPath,
    ['--expose-gc', path, ...parameters],
    {
      stdio: ['ignore', 'pipe', 'inherit'],
    },
  );
  const gone = new Promise<void>((resolve) => child.once('close', () => resolve()));
  const lines = createInterface({ input: child.stdout })[Symbol.asyncIterator]();
  const killHard = async (): Promise<void> => {
    child.kill('SIGKILL');
    await gone;
  };
  onTestFinished(killHard);
  return {
    async nextLine() {
      const line = await lines.next();
      return line.done === true ? undefined : line.value;
    },
    killHard,
  };
}
