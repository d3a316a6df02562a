import { execFileSync } from 'node:child_process';
import { mkdirSync, writeFileSync } from 'node:fs';
import { arch, availableParallelism, cpus, totalmem, type } from 'node:os';
import { inProject, projectRoot } from './project-root.mjs';

/** One measured promise of the design, beside its baseline from the same run. */
export interface Figure {
  readonly value: number;
  readonly unit: string;
  /** What the comparison does in the same run; the note says what it is. */
  readonly baseline: number;
  readonly limit: number;
  readonly met: boolean;
  readonly note: string;
  /** Of value to baseline, as the median of rounds in which both were measured in turn; null of counts of chance, which have none. */
  readonly ratio?: number | null;
  /** Where the value is the median of rounds. */
  readonly spread?: Spread;
}

/** How far the rounds of one run lie apart. */
export interface Spread {
  readonly rounds: number;
  readonly least: number;
  readonly greatest: number;
  /** By how much the medians of its first and second half differ, in percent of the median of all; null of one round, or where that is 0. */
  readonly halvesPercent: number | null;
}

export interface Report {
  readonly machine: Readonly<Record<string, string>>;
  readonly date: string;
  /** Of the sources that were measured; left out in reports from before it was written, and without git. */
  readonly commit?: string;
  readonly figures: Readonly<Record<string, Figure>>;
}

export interface Measurement {
  /** One measurement may yield several figures, such as P2.uplot and P2.chartjs. */
  readonly measure: () => Promise<Readonly<Record<string, Figure>>>;
}

/** Each as a whole, one after the other. */
export async function measureOneByOne(
  wanted: readonly (readonly [string, Measurement])[],
  say: (line: string) => void,
): Promise<Record<string, Figure>> {
  const figures: Record<string, Figure> = {};
  for (const [name, { measure }] of wanted) {
    say(`Measuring ${name}.`);
    Object.assign(figures, await measure());
  }
  return figures;
}

/** The machine as far as figures depend on it; nothing that names its owner. */
export function describeMachine(others: Readonly<Record<string, string>> = {}): Record<string, string> {
  return {
    system: `${type()} ${arch()}`,
    processors: `${availableParallelism()} x ${cpus()[0]?.model.trim() ?? 'unknown'}`,
    memory: `${Math.round(totalmem() / 2 ** 30)} GiB`,
    node: process.version,
    ...others,
  };
}

/** The commit that is checked out, and whether files differ from it; nothing where that cannot be told. */
export function describeCommit(): { readonly commit?: string } {
  try {
    const ask = (...words: string[]): string =>
      execFileSync('git', words, {
        cwd: projectRoot,
        encoding: 'utf8',
        stdio: ['ignore', 'pipe', 'ignore'],
      }).trim();
    // What the measurements write is no change of what they measure.
    const changed = ask('status', '--porcelain', '--untracked-files=no', '--', ':!*/latest.json', ':!docs');
    return { commit: `${ask('rev-parse', '--short=10', 'HEAD')}${changed === '' ? '' : ', changed'}` };
  } catch {
    return {};
  }
}

/**
 * Measures what the arguments name (all where they name none), prints a table, and writes `<folder>/latest.json` when all
 * was measured: figures of different runs are never mixed in one file.
 *
 * A figure that is missed is printed as missed. Only a measurement that could not be made ends with an error code.
 */
export async function measureAndReport<OneMeasurement>(options: {
  readonly folder: 'perf' | 'faults' | 'coverage' | 'drift' | 'measures';
  readonly measurements: Readonly<Record<string, OneMeasurement>>;
  readonly wanted: readonly string[];
  /** Takes those that are wanted, in their order. */
  readonly measure: (
    wanted: readonly (readonly [string, OneMeasurement])[],
  ) => Promise<Readonly<Record<string, Figure>>>;
  readonly machine: () => Promise<Record<string, string>>;
  readonly say: (line: string) => void;
  /** What else is done with a report of everything. */
  readonly keep?: (report: Report) => Promise<void>;
}): Promise<void> {
  const { folder, measurements, wanted, measure, say } = options;
  const unknown = wanted.filter((name) => !Object.hasOwn(measurements, name));
  if (unknown.length > 0) {
    throw new Error(
      `There is no figure ${unknown.join(', ')}; there are ${Object.keys(measurements).join(', ')}.`,
    );
  }
  const figures = await measure(
    Object.entries(measurements).filter(([name]) => wanted.length === 0 || wanted.includes(name)),
  );
  for (const line of tableOf(figures)) say(line);
  for (const [name, { met, note }] of Object.entries(figures)) if (!met) say(`${name} missed: ${note}`);
  if (wanted.length > 0) {
    say(`Not all was measured, so ${folder}/latest.json was left as it was.`);
    return;
  }
  const report: Report = {
    machine: await options.machine(),
    date: new Date().toISOString(),
    ...describeCommit(),
    figures,
  };
  mkdirSync(inProject(folder), { recursive: true });
  writeFileSync(inProject(folder, 'latest.json'), `${JSON.stringify(report, null, 2)}\n`);
  say(`Written to ${folder}/latest.json.`);
  await options.keep?.(report);
}

/** One line for each figure, columns aligned. */
export function tableOf(figures: Readonly<Record<string, Figure>>): string[] {
  const rows = Object.entries(figures).map(([name, { value, unit, baseline, limit, met, spread }]) => [
    name,
    met ? 'met' : 'MISSED',
    String(value),
    `limit ${limit}`,
    `baseline ${baseline}`,
    ...(spread === undefined ? [] : [spreadWords(spread)]),
    unit,
  ]);
  const widths = [0, 1, 2, 3, 4].map((column) => Math.max(...rows.map((row) => row[column]?.length ?? 0)));
  return rows.map((row) => row.map((cell, column) => cell.padEnd(widths[column] ?? 0)).join('  '));
}

function spreadWords({ rounds, least, greatest, halvesPercent }: Spread): string {
  if (rounds === 1) return '[1 round]';
  const halves = halvesPercent === null ? '' : `, halves differ by ${halvesPercent} %`;
  return `[${rounds} rounds ${least} to ${greatest}${halves}]`;
}
