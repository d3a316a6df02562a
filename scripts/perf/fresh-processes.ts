import type { Figure } from '../measured-figures.ts';
import type { FiguresReport } from './messages.ts';
import { startMeasuredProcess } from './measured-process.ts';
import type { PassingMeasurement } from './perf-run.ts';
import { ratioOf } from './repeatability.ts';
import { medianOf, spreadOf } from './statistics.ts';

const LONGEST_MS = 15 * 60_000;
const DECIMALS_OF_SPREAD = 4;

/**
 * Figures that one of the processes beside this file takes of a subject, in a new one each pass: how a process compiles and lays
 * out the same work is settled anew in each and stays so while it lives, so that rounds in one do not show it.
 */
export function inFreshProcesses(
  fileName: string,
  subject: object,
): Pick<PassingMeasurement, 'pass' | 'figures'> {
  const runs: FiguresReport['figures'][] = [];
  return {
    async pass() {
      const process = startMeasuredProcess<never, FiguresReport>(fileName, [JSON.stringify(subject)]);
      try {
        runs.push((await process.next('figures', LONGEST_MS)).figures);
      } finally {
        await process.end();
      }
    },
    figures: () => figuresInTheMiddle(runs),
  };
}

/** Of each figure the medians of value, baseline and ratio, and how far the values of the processes lie apart. */
export function figuresInTheMiddle(
  runs: readonly Readonly<Record<string, Figure>>[],
): Record<string, Figure> {
  const [first] = runs;
  if (first === undefined) throw new Error('Nothing was measured');
  return Object.fromEntries(
    Object.keys(first).map((name) => {
      const all = runs.flatMap((figures) => figures[name] ?? []);
      if (all.length < runs.length) throw new Error(`Not every process has measured ${name}`);
      return [name, middleOf(all)];
    }),
  );
}

function middleOf(all: readonly Figure[]): Figure {
  const ratios = all.map((figure) => ratioOf(figure) ?? figure.value);
  const ratio = medianOf(ratios);
  const values = all.map(({ value }) => value);
  const [one] = all.toSorted((a, b) => distance(a, ratio) - distance(b, ratio));
  if (one === undefined) throw new Error('Nothing was measured');
  if (all.length === 1) return one;
  return {
    ...one,
    value: medianOf(values),
    baseline: medianOf(all.map(({ baseline }) => baseline)),
    // Of an odd number the median meets the limit where most do.
    met: 2 * all.filter(({ met }) => met).length > all.length,
    ...(one.unit.startsWith('x ') ? {} : { ratio }),
    note: `Medians of ${all.length} fresh processes, one in each pass; what follows is of the one with the middle ratio. ${one.note}`,
    spread: spreadOf(values, DECIMALS_OF_SPREAD),
  };
}

function distance(figure: Figure, ratio: number): number {
  return Math.abs((ratioOf(figure) ?? figure.value) - ratio);
}
