import { spawn, type ChildProcess } from 'node:child_process';
import { once } from 'node:events';
import { createInterface } from 'node:readline';
import { inProject } from '../../scripts/project-root.mjs';

export interface RunningProgram {
  /** Opens the page with the token of this start. */
  readonly url: string;
  readonly process: ChildProcess;
  /** Asks it to end as Ctrl+C does, and waits; gives the exit code. */
  end(): Promise<number | null>;
}

interface StartSettings {
  /** 0: any that is free. */
  readonly port?: number;
  readonly nodeOptions?: readonly string[];
  readonly onErrorLine?: (line: string) => void;
}

/** A start that fails can leave the process there without a word. */
const LONGEST_START_MS = 120_000;

/**
 * The program as `npm start` starts it, without a window of its own. What it writes to its error stream is passed on, or given
 * line by line to `onErrorLine`. Errors: where it ends before it said its address.
 */
export async function startProgram(
  dataFolder: string,
  options: readonly string[] = [],
  { port = 0, nodeOptions = [], onErrorLine }: StartSettings = {},
): Promise<RunningProgram> {
  const child = spawn(
    process.execPath,
    [
      ...nodeOptions,
      inProject('scripts', 'start.mjs'),
      '--no-window',
      '--port',
      String(port),
      '--data',
      dataFolder,
      ...options,
    ],
    { stdio: ['ignore', 'pipe', onErrorLine === undefined ? 'inherit' : 'pipe'] },
  );
  const exited = once(child, 'exit');
  const { stdout, stderr } = child;
  if (stdout === null) throw new Error('What the program says cannot be read');
  if (stderr !== null && onErrorLine !== undefined) {
    createInterface({ input: stderr }).on('line', onErrorLine);
  }
  const tooLong = setTimeout(() => {
    child.kill('SIGKILL');
  }, LONGEST_START_MS);
  const url = await new Promise<string>((resolve, reject) => {
    createInterface({ input: stdout }).on('line', (line) => {
      const address = /^Address: (http\S+)$/.exec(line)?.[1];
      if (address !== undefined) resolve(address);
    });
    void exited.then(([code, signal]) => {
      reject(new Error(`The program ended with ${String(code ?? signal)} before it said its address`));
    });
  });
  clearTimeout(tooLong);
  return {
    url,
    process: child,
    async end() {
      child.kill('SIGINT');
      const [code] = (await exited) as [number | null];
      return code;
    },
  };
}
