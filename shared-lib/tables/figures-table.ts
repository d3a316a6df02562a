import type { TrialFigures } from '../trial/trial-model.ts';
import {
  figureColumns,
  type FiguresColumn,
  recordColumns,
  type TableColumn,
  type TabledRecord,
} from './figures-columns.ts';
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
}

/**
 * A line for each trial, in the order given: what was pulled, on what, and all that was measured, in SI units. Torques for
 * which a time was asked have a column each, of all trials together. What the curve does not carry is empty, and
 * `not_measured` says why.
 */
export function figuresTable(trials: readonly TabledTrial[]): Table {
  const columns = [...recordColumns, ...figureColumns, ...levelColumns(trials), ...judgementColumns];
  return {
    columns: columns.map(({ name, type, description }) => ({ name, type, description })),
    rows: trials.map(({ record, figures }) => columns.map(({ read }) => read(record, figures))),
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

const judgementColumns: readonly FiguresColumn[] = [
  {
    name: 'quality',
    type: 'string',
    description: 'good, look or notUsable.',
    read: (_record, figures) => figures?.quality.verdict ?? null,
  },
  {
    name: 'quality_reasons',
    type: 'string',
    description: 'Why it is not good, in sentences.',
    read: (_record, figures) => figures?.quality.reasons.map(({ sentence }) => sentence).join(' ') ?? null,
  },
  {
    name: 'not_measured',
    type: 'string',
    description: 'What the curve does not carry, and why.',
    read: (_record, figures) => (figures === null ? null : refusals(figures)),
  },
];

const refusable = [
  ['sustainedTorqueNm', 'sustained_torque_nm'],
  ['finalTorqueNm', 'final_torque_nm'],
  ['timeTo90PercentS', 'time_to_90_percent_s'],
  ['highestReadingNm', 'highest_reading_nm'],
  ['stillClimbingPercentPerS', 'still_climbing_percent_per_s'],
  ['impulseNms', 'impulse_nms'],
  ['riseNmPerS', 'rise_nm_per_s'],
  ['riseModel', 'rise_model'],
  ['blowRateHz', 'blow_rate_hz'],
  ['stallTorqueNm', 'stall_torque_nm'],
  ['breakaway', 'breakaway'],
  ['endurance', 'endurance'],
] as const satisfies readonly (readonly [keyof TrialFigures, string])[];

/** One reason is told once, with all that it refuses before it. */
function refusals(figures: TrialFigures): string {
  const namesOf = new Map<string, string[]>();
  const refuse = (name: string, measure: object | null): void => {
    if (measure === null || !('refused' in measure) || typeof measure.refused !== 'string') return;
    namesOf.set(measure.refused, [...(namesOf.get(measure.refused) ?? []), name]);
  };
  for (const [key, name] of refusable) refuse(name, figures[key]);
  for (const { atS, torqueNm } of figures.torqueAt) refuse(`torque_at_${atS}_s_nm`, torqueNm);
  return [...namesOf].map(([reason, names]) => `${names.join(', ')}: ${reason}`).join(' ');
}
