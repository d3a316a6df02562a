import { spawn } from 'node:child_process';
import { once } from 'node:events';
import { createInterface } from 'node:readline';
import { inProject } from '../project-root.mjs';
import { lookAtMemory, type NodeMemory } from './node-memory.ts';

export interface InspectedProgram {
  /** Opens the page with the token of this start. */
  readonly url: string;
  readonly pid: number;
  /**
   * Main, after a collection of its garbage, and the reader process without: a whole collection stops it for longer than the
   * port holds what comes meanwhile, and no bench has one asked for.
   */
  memory(): Promise<readonly NodeMemory[]>;
  end(): Promise<void>;
}

/** The built program as `npm start` starts it, without a window, with an inspector for itself and its reader process. */
export async function startInspectedProgram(dataFolder: string): Promise<InspectedProgram> {
  const child = spawn(
    process.execPath,
    [
      '--inspect=127.0.0.1:0',
      inProject('scripts', 'start.mjs'),
      '--no-window',
      '--port',
      '0',
      '--data',
      dataFolder,
    ],
    { stdio: ['ignore', 'pipe', 'pipe'] },
  );
  const exited = once(child, 'exit');
  const inspectors: string[] = [];
  createInterface({ input: child.stderr }).on('line', (line) => {
    const address = /^Debugger listening on (ws:\S+)$/.exec(line)?.[1];
    if (address !== undefined) inspectors.push(address);
    else if (!/^(For help, see|Debugger (attached|ending)|Waiting for the debugger)/.test(line)) {
      process.stderr.write(`${line}\n`);
    }
  });
  const url = await new Promise<string>((resolve, reject) => {
    createInterface({ input: child.stdout }).on('line', (line) => {
      const address = /^Address: (http\S+)$/.exec(line)?.[1];
      if (address !== undefined) resolve(address);
    });
    void exited.then(([code]) => {
      reject(new Error(`The program ended with ${String(code)} before it said its address`));
    });
  });
  const { pid } = child;
  if (pid === undefined) throw new Error('The program could not be started');
  return {
    url,
    pid,
    async memory() {
      const found = await Promise.all(inspectors.map((url) => lookAtMemory(url, (one) => one === pid)));
      const main = found.find((one) => one.pid === pid);
      const reader = found.find((one) => one.pid !== pid);
      if (!main || !reader) throw new Error('Main and its reader process cannot both be looked at');
      return [main, reader];
    },
    async end() {
      child.kill('SIGINT');
      await exited;
    },
  };
}
