import { type ChildProcess, fork } from 'node:child_process';
import { once } from 'node:events';

/** A process that is part of a measurement. */
export interface MeasuredProcess<Command, Report extends { readonly type: string }> {
  readonly pid: number;
  send(command: Command): void;
  /** The next report of this type; fails when the process ends before, or after the limit. */
  next<Type extends Report['type']>(
    type: Type,
    limitMs?: number,
  ): Promise<Extract<Report, { readonly type: Type }>>;
  on(listener: (report: Report) => void): void;
  end(): Promise<void>;
}

const USUAL_LIMIT_MS = 15_000;

/** Starts one of the processes beside this file, on the same Node. */
export function startMeasuredProcess<Command, Report extends { readonly type: string }>(
  fileName: string,
  processArguments: readonly string[],
): MeasuredProcess<Command, Report> {
  const child: ChildProcess = fork(new URL(fileName, import.meta.url), processArguments, {
    stdio: ['ignore', 'inherit', 'inherit', 'ipc'],
  });
  const exited = once(child, 'exit');
  const { pid } = child;
  if (pid === undefined) throw new Error(`${fileName} could not be started`);
  return {
    pid,
    send(command) {
      child.send(command as object);
    },
    next<Type extends Report['type']>(type: Type, limitMs = USUAL_LIMIT_MS) {
      return new Promise<Extract<Report, { readonly type: Type }>>((resolve, reject) => {
        const settle = (): void => {
          clearTimeout(timer);
          child.off('message', look);
          child.off('exit', fail);
        };
        const look = (report: unknown): void => {
          if ((report as Report).type !== type) return;
          settle();
          resolve(report as Extract<Report, { readonly type: Type }>);
        };
        const fail = (): void => {
          settle();
          reject(new Error(`${fileName} ended, or did not say "${type}" within ${limitMs / 1000} s`));
        };
        const timer = setTimeout(fail, limitMs);
        child.on('message', look);
        child.on('exit', fail);
      });
    },
    on(listener) {
      child.on('message', (report) => {
        listener(report as unknown as Report);
      });
    },
    async end() {
      child.kill('SIGKILL');
      await exited;
    },
  };
}
