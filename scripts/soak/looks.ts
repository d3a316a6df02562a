import { readdirSync, readFileSync, statSync } from 'node:fs';
import { join } from 'node:path';
import { cpuUsOf } from '../perf/process-cpu.ts';
import type { InspectedProgram } from './inspected-program.ts';
import type { BrowserProcess, PageWindow } from './page-window.ts';

/** What is looked at again and again: megabytes, seconds of processor time, by the name of what has them. */
export interface Look {
  readonly atS: number;
  readonly megabytes: Readonly<Record<string, number>>;
  readonly cpuS: Readonly<Record<string, number>>;
}

export interface Looking {
  look(): Promise<Look>;
}

const MB = 1e6;

/**
 * Memory of every process: what it holds of the machine ("resident") and, where it can be asked for, its JavaScript heap, of main
 * and the page after a collection of garbage; and what lies in the data folder. `writerPid`: the amplifier, for comparison.
 */
export function startLooking(
  program: InspectedProgram,
  page: PageWindow,
  dataFolder: string,
  writerPid: number,
): Looking {
  const startedMs = performance.now();
  return {
    async look() {
      const [main, reader] = await program.memory();
      if (!main || !reader) throw new Error('A process of the program is missing');
      const pageHeapBytes = await page.heapBytes();
      const browserPids = namesOf(await page.processes());
      const pids: readonly (readonly [string, number])[] = [
        ['main', main.pid],
        ['reader', reader.pid],
        ...browserPids,
        ['amplifier', writerPid],
      ];
      const megabytes: Record<string, number> = {
        'main heap': main.heapBytes / MB,
        'main buffers': main.outsideBytes / MB,
        'reader heap': reader.heapBytes / MB,
        'reader buffers': reader.outsideBytes / MB,
        'page heap': pageHeapBytes / MB,
        ...filesOf(dataFolder),
      };
      const cpuS: Record<string, number> = {};
      for (const [name, pid] of pids) {
        megabytes[`${name} resident`] = (megabytes[`${name} resident`] ?? 0) + residentBytes(pid) / MB;
        cpuS[name] = (cpuS[name] ?? 0) + cpuUsOf(pid) / 1e6;
      }
      return { atS: (performance.now() - startedMs) / 1000, megabytes, cpuS };
    },
  };
}

/** The renderer that has worked most is the page's; a browser keeps others ready, which come and go. */
function namesOf(processes: readonly BrowserProcess[]): (readonly [string, number])[] {
  const renderers = processes.filter(({ type }) => type === 'renderer');
  const mostS = Math.max(...renderers.map(({ cpuTime }) => cpuTime));
  return processes.map((one) => {
    if (one.type === 'renderer' && one.cpuTime === mostS) return ['page', one.id] as const;
    return [one.type === 'browser' || one.type === 'GPU' ? `browser ${one.type}` : 'browser others', one.id];
  });
}

/** VmRSS of /proc/PID/status (proc(5)). Linux only. */
function residentBytes(pid: number): number {
  const kilobytes = /^VmRSS:\s+(\d+) kB$/m.exec(readFileSync(`/proc/${pid}/status`, 'utf8'))?.[1];
  if (kilobytes === undefined) throw new Error('The system does not say how much memory a process holds');
  return Number(kilobytes) * 1024;
}

function filesOf(folder: string): Record<string, number> {
  const size = (path: string): number => statSync(path, { throwIfNoEntry: false })?.size ?? 0;
  const database = join(folder, 'proofarm.db');
  const logs = readdirSync(folder).filter((name) => name.includes('.log'));
  return {
    'file database': size(database) / MB,
    'file log of the database': size(`${database}-wal`) / MB,
    'file log of the program': logs.reduce((sum, name) => sum + size(join(folder, name)), 0) / MB,
  };
}
