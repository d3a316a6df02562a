import type { TrialFigures } from '../trial/trial-model.ts';
import {
  figureColumns,
  type FiguresColumn,
  recordColumns,
  type TableColumn,
  type TabledRecord,
} from './figures-columns.ts';
import { judgementColumns } from './judgement-columns.ts';
import type { Cell } from './write-csv.ts';

export interface Table {
  readonly columns: readonly TableColumn[];
  /** As many cells in each as there are columns. */
  readonly rows: readonly (readonly Cell[])[];
}

export interface TabledTrial {
  readonly record: TabledRecord;
  /** Null: none that may be seen, as long as the trial was never kept. */
  readonly figures: TrialFigures | null;
  /** Where it was pulled, if not on one's own bench. */
  readonly benchName?: string | null;
}

/**
 * A line for each trial, in the order given: what was pulled, on what, and all that was measured, in SI units. Torques for
 * which a time was asked have a column each, of all trials together. What the curve does not carry is empty, and
 * `not_measured` says why. Trials of other benches bring a column `bench`.
 */
export function figuresTable(trials: readonly TabledTrial[]): Table {
  const columns = [...recordColumns, ...figureColumns, ...levelColumns(trials), ...judgementColumns];
  const benches = trials.map(({ benchName }) => benchName ?? null);
  if (benches.some((bench) => bench !== null)) return withBenches(plainTable(columns, trials), benches);
  return plainTable(columns, trials);
}

function plainTable(columns: readonly FiguresColumn[], trials: readonly TabledTrial[]): Table {
  return {
    columns: columns.map(({ name, type, description }) => ({ name, type, description })),
    rows: trials.map(({ record, figures }) => columns.map(({ read }) => read(record, figures))),
  };
}

function withBenches({ columns, rows }: Table, benches: readonly (string | null)[]): Table {
  const bench: TableColumn = {
    name: 'bench',
    type: 'string',
    description: 'Another bench it was pulled on; empty: the own one.',
  };
  return {
    columns: [...columns, bench],
    rows: rows.map((row, index) => [...row, benches[index] ?? null]),
  };
}

function levelColumns(trials: readonly TabledTrial[]): FiguresColumn[] {
  const levelsNm = new Set(
    trials.flatMap(({ figures }) => figures?.timeToLevel.map(({ levelNm }) => levelNm) ?? []),
  );
  return [...levelsNm]
    .toSorted((a, b) => a - b)
    .map((level) => ({
      name: `time_to_${level}_nm_s`,
      type: 'number',
      description: `Time to ${level} N·m, s; empty: not asked for, or not reached and held.`,
      read: (_record, figures) =>
        figures?.timeToLevel.find(({ levelNm }) => levelNm === level)?.timeS ?? null,
    }));
}
