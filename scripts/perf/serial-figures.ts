import { join } from 'node:path';
import { setTimeout as wait } from 'node:timers/promises';
import Database from 'better-sqlite3';
import { makeDataFolder } from '../../tests/helpers/running-services.ts';
import type { Figure } from '../measured-figures.ts';
import type { PassingMeasurement, PerfRun } from './perf-run.ts';
import { bareTurn, type ProgramTurn, programTurn, type SerialTurn } from './serial-turns.ts';
import { medianOf, roundTo, spreadOf, sumOf } from './statistics.ts';

const RATE_HZ = 100_000;
/** Seconds; the design's figure is that of the full form. */
const SCENES = {
  full: { runS: 60, parserS: 10, stallsAtS: [5, 14, 23, 38, 47], storageBusyAtS: 30 },
  short: { runS: 20, parserS: 6, stallsAtS: [3, 6, 9, 13, 16], storageBusyAtS: 11 },
} as const;
const STALL_MS = 200;
const STORAGE_BUSY_MS = 1000;
const MOST_CPU_RATIO = 1.5;

type Scene = (typeof SCENES)[keyof typeof SCENES];

interface SerialRound {
  readonly bytes: readonly SerialTurn[];
  readonly lines: readonly SerialTurn[];
  readonly program: ProgramTurn;
}

/** P1: what the program loses and costs at 100 000 lines/s, beside the bare serial library, in turns A B C B A each pass. */
export function prepareSerial({ form }: PerfRun): Promise<PassingMeasurement> {
  const scene = SCENES[form];
  const rounds: SerialRound[] = [];
  return Promise.resolve({
    async pass() {
      rounds.push(await measureRound(scene));
    },
    figures: () => figuresOf(rounds, scene),
    end: () => undefined,
  });
}

async function measureRound(scene: Scene): Promise<SerialRound> {
  const { runS, parserS } = scene;
  const folder = makeDataFolder();
  const bytes: SerialTurn[] = [];
  const lines: SerialTurn[] = [];
  try {
    bytes.push(await bareTurn('bytes', RATE_HZ, runS / 2));
    lines.push(await bareTurn('lines', RATE_HZ, parserS));
    const program = await programTurn(folder.path, RATE_HZ, runS, (stallMain) =>
      disturb(join(folder.path, 'proofarm.db'), scene, stallMain),
    );
    lines.push(await bareTurn('lines', RATE_HZ, parserS));
    bytes.push(await bareTurn('bytes', RATE_HZ, runS / 2));
    return { bytes, lines, program };
  } finally {
    folder.remove();
  }
}

async function disturb(
  databasePath: string,
  { stallsAtS, storageBusyAtS }: Scene,
  stallMain: (durationMs: number) => void,
): Promise<void> {
  const startedMs = performance.now();
  const until = (atS: number): Promise<void> => wait(atS * 1000 - (performance.now() - startedMs));
  await Promise.all([
    (async () => {
      for (const atS of stallsAtS) {
        await until(atS);
        stallMain(STALL_MS);
      }
    })(),
    (async () => {
      await until(storageBusyAtS);
      const other = new Database(databasePath);
      other.exec('BEGIN IMMEDIATE');
      await wait(STORAGE_BUSY_MS);
      other.exec('ROLLBACK');
      other.close();
    })(),
  ]);
}

function figuresOf(rounds: readonly SerialRound[], scene: Scene): Record<string, Figure> {
  const lost = rounds.map(({ program }) => program.lostLines);
  const bareLost = medianOf(rounds.map(({ bytes }) => sumOf(bytes.map(({ lostLines }) => lostLines))));
  const ratios = rounds.map(({ program, lines }) => cpuPerLine([program]) / cpuPerLine(lines));
  const ratio = medianOf(ratios);
  const states = rounds.map(({ program }) => program.state);
  const isWhole = states.every((state) => state === 'kept' || state === 'reviewing');
  const pace = paceOf(rounds.flatMap(({ bytes, lines, program }) => [...bytes, ...lines, program]));
  const priorities = new Set(rounds.map(({ program }) => program.readerPriority));
  const { runS, parserS, stallsAtS } = scene;
  return {
    'P1.loss': {
      value: medianOf(lost),
      unit: `lines lost in ${runS} s`,
      baseline: bareLost,
      ratio: null,
      limit: bareLost,
      met: medianOf(lost) <= bareLost && isWhole,
      note:
        `Median of ${rounds.length}. A trial of ${runS} s over a pseudo-terminal (it ended as ${[...new Set(states)].join(', ')}), main stalled ${stallsAtS.length} times for ${STALL_MS} ms by a busy loop, the database locked once for ` +
        `${STORAGE_BUSY_MS} ms by another connection; the reader's priority was ${[...priorities].join(', ')} (what the account grants; 0 is usual and what the baseline has). Lost slots of the stored record, its tail included. Baseline: a SerialPort "data" listener that counts line ends, ${runS / 2} s before and ${runS / 2} s after, undisturbed. ${pace}`,
      spread: spreadOf(lost, 0),
    },
    'P1.cpu': {
      value: roundTo(ratio, 2),
      unit: 'x processor time per line',
      baseline: roundTo(medianOf(rounds.map(({ lines }) => cpuPerLine(lines))), 3),
      limit: MOST_CPU_RATIO,
      met: ratio <= MOST_CPU_RATIO,
      note:
        `Median of ${rounds.length}. ${roundTo(medianOf(rounds.map(({ program }) => cpuPerLine([program]))), 3)} us per line for main, storage and reader (whole processes, from /proc; the busy loops of the stalls taken off, evaluation and packing after the run left out). ` +
        `Baseline: us per line of a process that pipes a SerialPort into a ReadlineParser and counts, ${parserS} s before and ${parserS} s after. ${pace}`,
      spread: spreadOf(ratios, 2),
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
