import type { Figure } from '../measured-figures.ts';
import type { FiguresReport } from './messages.ts';
import { startMeasuredProcess } from './measured-process.ts';
import type { PerfRun } from './perf-run.ts';
import { ratioOf } from './repeatability.ts';
import { spreadOf } from './statistics.ts';

/** How a process compiles and lays out the same work is settled anew in each, and stays so while it lives: rounds in one do not show it. */
const PROCESSES = { full: 5, short: 1 };
const LONGEST_MS = 15 * 60_000;
const DECIMALS_OF_SPREAD = 4;

/** Figures that one of the processes beside this file takes of a subject, in several of them, one after the other. */
export async function measureInFreshProcesses(
  fileName: string,
  subject: object,
  { say, form }: PerfRun,
): Promise<Record<string, Figure>> {
  const runs: FiguresReport['figures'][] = [];
  for (let place = 1; place <= PROCESSES[form]; place += 1) {
    say(`  process ${place} of ${PROCESSES[form]}`);
    const process = startMeasuredProcess<never, FiguresReport>(fileName, [JSON.stringify(subject)]);
    try {
      runs.push((await process.next('figures', LONGEST_MS)).figures);
    } finally {
      await process.end();
    }
  }
  return figuresInTheMiddle(runs);
}

/** Of each figure the one whose ratio to its baseline lies in the middle, and how far the others lie from it. */
export function figuresInTheMiddle(
  runs: readonly Readonly<Record<string, Figure>>[],
): Record<string, Figure> {
  const [first] = runs;
  if (first === undefined) throw new Error('Nothing was measured');
  return Object.fromEntries(
    Object.keys(first).map((name) => {
      const all = runs.flatMap((figures) => figures[name] ?? []);
      const byRatio = all.toSorted((one, other) => orderOf(one) - orderOf(other));
      const middle = byRatio[all.length >> 1];
      if (middle === undefined || all.length < runs.length)
        throw new Error(`Not every process has measured ${name}`);
      return [name, all.length === 1 ? middle : besideOthers(middle, all)];
    }),
  );
}

function orderOf(figure: Figure): number {
  return ratioOf(figure) ?? figure.value;
}

function besideOthers(middle: Figure, all: readonly Figure[]): Figure {
  return {
    ...middle,
    note: `Of ${all.length} fresh processes the one whose ratio is in the middle. ${middle.note}`,
    spread: spreadOf(
      all.map(({ value }) => value),
      DECIMALS_OF_SPREAD,
    ),
  };
}
