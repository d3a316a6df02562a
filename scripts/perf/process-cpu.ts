import { execFileSync } from 'node:child_process';
import { readFileSync } from 'node:fs';

let ticksPerS = 0;

/**
 * Processor time of a whole process, all its threads, user and system, in microseconds. Linux only, in steps of a clock
 * tick (10 ms as a rule).
 */
export function cpuUsOf(pid: number): number {
  ticksPerS ||= Number(execFileSync('getconf', ['CLK_TCK'], { encoding: 'utf8' }));
  return cpuTicksIn(readFileSync(`/proc/${pid}/stat`, 'utf8')) * (1e6 / ticksPerS);
}

/** Fields 14 and 15 of /proc/PID/stat (proc(5)): utime and stime. The name in brackets may itself hold blanks. */
export function cpuTicksIn(stat: string): number {
  const fields = stat.slice(stat.lastIndexOf(')') + 2).split(' ');
  const ticks = Number(fields[11]) + Number(fields[12]);
  if (!Number.isFinite(ticks))
    throw new Error('The system does not say how much processor time a process took');
  return ticks;
}

export function childrenOf(pid: number): number[] {
  return readFileSync(`/proc/${pid}/task/${pid}/children`, 'utf8')
    .trim()
    .split(' ')
    .filter(Boolean)
    .map(Number);
}

/**
 * Processor time of the main thread of a process, in microseconds. Linux only; the first number of schedstat is nanoseconds
 * (Documentation/scheduler/sched-stats of the kernel).
 */
export function mainThreadCpuUsOf(pid: number): number {
  const ns = Number(readFileSync(`/proc/${pid}/task/${pid}/schedstat`, 'utf8').split(' ')[0]);
  if (!Number.isFinite(ns)) throw new Error('The system does not say how much processor time a thread took');
  return ns / 1000;
}
