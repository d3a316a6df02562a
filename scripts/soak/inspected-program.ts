import { startProgram } from '../../tests/helpers/running-program.ts';
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
  const inspectors: string[] = [];
  const program = await startProgram(dataFolder, [], {
    nodeOptions: ['--inspect=127.0.0.1:0'],
    onErrorLine(line) {
      const address = /^Debugger listening on (ws:\S+)$/.exec(line)?.[1];
      if (address !== undefined) inspectors.push(address);
      else if (!/^(For help, see|Debugger (attached|ending)|Waiting for the debugger)/.test(line)) {
        process.stderr.write(`${line}\n`);
      }
    },
  });
  const { pid } = program.process;
  if (pid === undefined) throw new Error('The program could not be started');
  return {
    url: program.url,
    pid,
    async memory() {
      const found = await Promise.all(inspectors.map((url) => lookAtMemory(url, (one) => one === pid)));
      const main = found.find((one) => one.pid === pid);
      const reader = found.find((one) => one.pid !== pid);
      if (!main || !reader) throw new Error('Main and its reader process cannot both be looked at');
      return [main, reader];
    },
    async end() {
      await program.end();
    },
  };
}
