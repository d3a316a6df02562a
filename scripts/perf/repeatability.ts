import { readFileSync } from 'node:fs';
import type { Figure, Report } from '../measured-figures.ts';
import { roundTo } from './statistics.ts';

/** Of two runs on one machine the ratios of medians differ by less, or the machine was not quiet. */
const MOST_PERCENT = 15;

export interface Change {
  readonly name: string;
  /** Value over its baseline of the same run, of its rounds where both took turns; the value itself where that is a ratio. */
  readonly before: number;
  readonly after: number;
  /** Of the smaller one; 0 where both are alike. */
  readonly percent: number;
}

/** How the ratios that both runs have differ, those that differ most first. */
export function changesBetween(before: Report['figures'], after: Report['figures']): Change[] {
  return pairsOf(before, after)
    .flatMap(([name, earlier, figure]) => {
      const [one, other] = [ratioOf(earlier), ratioOf(figure)];
      if (one === null || other === null) return [];
      const smaller = Math.min(Math.abs(one), Math.abs(other));
      const percent = one === other ? 0 : (100 * Math.abs(one - other)) / smaller;
      return [{ name, before: roundTo(one, 3), after: roundTo(other, 3), percent: roundTo(percent, 1) }];
    })
    .sort((a, b) => b.percent - a.percent);
}

function pairsOf(before: Report['figures'], after: Report['figures']): [string, Figure, Figure][] {
  return Object.entries(after).flatMap(([name, figure]) => {
    const earlier = before[name];
    return earlier === undefined || earlier.unit !== figure.unit ? [] : [[name, earlier, figure]];
  });
}

/** Value over its baseline, of rounds in turn where there were such; null of counts of chance and of a baseline of nothing: of 0 and 1 lost lines neither is so many percent more. */
export function ratioOf({ value, baseline, unit, ratio }: Figure): number | null {
  if (ratio !== undefined) return ratio;
  if (unit.startsWith('x ')) return value;
  return baseline === 0 ? null : value / baseline;
}

/**
 * What a run says of the one before; nothing where there is none.
 */
export function repeatabilityLines(before: Report | null, after: Report): string[] {
  if (before === null) return [];
  const run = `the run of ${before.date.slice(0, 16).replace('T', ' ')} UTC`;
  if (JSON.stringify(before.machine) !== JSON.stringify(after.machine)) {
    return [`Not compared with ${run}: it was of another machine, another Node or browser, or another form.`];
  }
  const changes = changesBetween(before.figures, after.figures);
  const far = changes.filter(({ percent }) => percent >= MOST_PERCENT);
  const counts = pairsOf(before.figures, after.figures).filter(
    ([, earlier, figure]) => ratioOf(earlier) === null || ratioOf(figure) === null,
  );
  return [
    `Beside ${run}: ${changes.length - far.length} of ${changes.length} ratios differ by less than ${MOST_PERCENT} %.`,
    ...far.map(
      (change) => `  ${change.name}: ${change.before} and now ${change.after} (${change.percent} %)`,
    ),
    ...counts.map(
      ([name, earlier, figure]) =>
        `  ${name}, a count and no ratio: ${besideBaseline(earlier)} and now ${besideBaseline(figure)}`,
    ),
  ];
}

function besideBaseline({ value, baseline }: Figure): string {
  return `${value} beside ${baseline}`;
}

/** Errors: plainly, where the file is there and is no report. */
export function readReport(path: string): Report | null {
  try {
    return JSON.parse(readFileSync(path, 'utf8')) as Report;
  } catch (error) {
    if (error instanceof Error && 'code' in error && error.code === 'ENOENT') return null;
    throw error;
  }
}
