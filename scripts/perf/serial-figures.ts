import { join } from 'node:path';
import { setTimeout as wait } from 'node:timers/promises';
import Database from 'better-sqlite3';
import { makeDataFolder } from '../../tests/helpers/running-services.ts';
import type { Figure } from '../measured-figures.ts';
import { bareTurn, programTurn, type SerialTurn } from './serial-turns.ts';
import { roundTo, sumOf } from './statistics.ts';

const RATE_HZ = 100_000;
const RUN_S = 60;
const PARSER_TURN_S = 10;
const STALL_MS = 200;
const STALLS_AT_S = [5, 14, 23, 38, 47];
const STORAGE_BUSY_AT_S = 30;
const STORAGE_BUSY_MS = 1000;
const MOST_CPU_RATIO = 1.5;

/** P1: what the program loses and costs at 100 000 lines/s, beside the bare serial library, in turns A B C B A. */
export async function measureSerial(
  say: (line: string) => void,
  rateHz = RATE_HZ,
): Promise<Record<string, Figure>> {
  const folder = makeDataFolder();
  const bytes: SerialTurn[] = [];
  const lines: SerialTurn[] = [];
  try {
    bytes.push(await bareTurn('bytes', rateHz, RUN_S / 2));
    lines.push(await bareTurn('lines', rateHz, PARSER_TURN_S));
    say('P1: bare readers, first half, done');
    const program = await programTurn(folder.path, rateHz, RUN_S, (stallMain) =>
      disturb(join(folder.path, 'proofarm.db'), stallMain),
    );
    say('P1: program done');
    lines.push(await bareTurn('lines', rateHz, PARSER_TURN_S));
    bytes.push(await bareTurn('bytes', rateHz, RUN_S / 2));
    return figuresOf(bytes, lines, program);
  } finally {
    folder.remove();
  }
}

async function disturb(databasePath: string, stallMain: (durationMs: number) => void): Promise<void> {
  const startedMs = performance.now();
  const until = (atS: number): Promise<void> => wait(atS * 1000 - (performance.now() - startedMs));
  await Promise.all([
    (async () => {
      for (const atS of STALLS_AT_S) {
        await until(atS);
        stallMain(STALL_MS);
      }
    })(),
    (async () => {
      await until(STORAGE_BUSY_AT_S);
      const other = new Database(databasePath);
      other.exec('BEGIN IMMEDIATE');
      await wait(STORAGE_BUSY_MS);
      other.exec('ROLLBACK');
      other.close();
    })(),
  ]);
}

function figuresOf(
  bytes: readonly SerialTurn[],
  lines: readonly SerialTurn[],
  program: SerialTurn & { readonly state: string },
): Record<string, Figure> {
  const bareLost = sumOf(bytes.map(({ lostLines }) => lostLines));
  const parserUs = cpuPerLine(lines);
  const programUs = cpuPerLine([program]);
  const ratio = programUs / parserUs;
  const isWhole = program.state === 'kept' || program.state === 'reviewing';
  const pace = paceOf([...bytes, ...lines, program]);
  return {
    'P1.loss': {
      value: program.lostLines,
      unit: 'lines lost in 60 s',
      baseline: bareLost,
      limit: bareLost,
      met: program.lostLines <= bareLost && isWhole,
      note:
        `A trial of ${RUN_S} s over a pseudo-terminal (it ended as ${program.state}), main stalled ${STALLS_AT_S.length} times for ${STALL_MS} ms by a busy loop, the database locked once for ` +
        `${STORAGE_BUSY_MS} ms by another connection; lost slots of the stored record, its tail included. Baseline: a SerialPort "data" listener that counts line ends, ${RUN_S / 2} s before and ${RUN_S / 2} s after, undisturbed. ${pace}`,
    },
    'P1.cpu': {
      value: roundTo(ratio, 2),
      unit: 'x processor time per line',
      baseline: roundTo(parserUs, 3),
      limit: MOST_CPU_RATIO,
      met: ratio <= MOST_CPU_RATIO,
      note:
        `${roundTo(programUs, 3)} us per line for main, storage and reader (whole processes, from /proc; the busy loops of the stalls taken off, evaluation and packing after the run left out). ` +
        `Baseline: us per line of a process that pipes a SerialPort into a ReadlineParser and counts, ${PARSER_TURN_S} s before and ${PARSER_TURN_S} s after. ${pace}`,
    },
  };
}

function cpuPerLine(turns: readonly SerialTurn[]): number {
  return sumOf(turns.map(({ cpuUs }) => cpuUs)) / sumOf(turns.map(({ lines }) => lines));
}

function paceOf(turns: readonly SerialTurn[]): string {
  const slowest = Math.min(...turns.map(({ rateHz }) => rateHz));
  const latest = Math.max(...turns.map(({ lateShare }) => lateShare));
  return `The writer gave at least ${Math.round(slowest)} lines/s; in its worst turn it was too late for ${(latest * 100).toFixed(1)} % of them.`;
}
