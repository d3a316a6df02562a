import { readFileSync } from 'node:fs';
import type { Figure, Report } from '../measured-figures.ts';
import { roundTo } from './statistics.ts';

/** Of two runs on one machine the ratios of medians differ by less, or the machine was not quiet. */
const MOST_PERCENT = 15;

export interface Change {
  readonly name: string;
  /** Value over its baseline of the same run; the value itself where there is nothing to divide by. */
  readonly before: number;
  readonly after: number;
  /** Of the smaller one; 0 where both are alike. */
  readonly percent: number;
}

/** How the figures that both runs have differ, those that differ most first. */
export function changesBetween(before: Report['figures'], after: Report['figures']): Change[] {
  return Object.entries(after)
    .flatMap(([name, figure]) => {
      const earlier = before[name];
      if (earlier === undefined || earlier.unit !== figure.unit) return [];
      const [one, other] = [ratioOf(earlier), ratioOf(figure)];
      const smaller = Math.min(Math.abs(one), Math.abs(other));
      const percent = one === other ? 0 : (100 * Math.abs(one - other)) / smaller;
      return [{ name, before: roundTo(one, 3), after: roundTo(other, 3), percent: roundTo(percent, 1) }];
    })
    .sort((a, b) => b.percent - a.percent);
}

function ratioOf({ value, baseline }: Figure): number {
  return baseline === 0 ? value : value / baseline;
}

/**
 * What a run says of the one before: nothing where that was made on another machine, in another form, or not at all.
 */
export function repeatabilityLines(before: Report | null, after: Report): string[] {
  if (before === null || JSON.stringify(before.machine) !== JSON.stringify(after.machine)) return [];
  const changes = changesBetween(before.figures, after.figures);
  const far = changes.filter(({ percent }) => percent >= MOST_PERCENT);
  return [
    `Beside the run of ${before.date.slice(0, 16).replace('T', ' ')} UTC, as value over baseline: ${changes.length - far.length} of ${changes.length} figures differ by less than ${MOST_PERCENT} %.`,
    ...far.map(
      (change) => `  ${change.name}: ${change.before} and now ${change.after} (${change.percent} %)`,
    ),
  ];
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
