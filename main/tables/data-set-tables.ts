import { figureColumns, type FiguresColumn, recordColumns } from '../../shared-lib/tables/figures-columns.ts';
import { judgementColumns } from '../../shared-lib/tables/judgement-columns.ts';
import type { Cell } from '../../shared-lib/tables/write-csv.ts';
import type { TrialRecord } from '../../shared-lib/trial/trial-model.ts';
import type { ParquetColumn } from './parquet-file.ts';
import type { TabledCalibration } from './tabled-calibrations.ts';

type ParquetCell = string | number | boolean | Date | null;

/** A small table of the data set: its columns and a row for each. */
export interface DataSetTable {
  readonly columns: readonly ParquetColumn[];
  readonly rows: readonly (readonly ParquetCell[])[];
}

const trialId: ParquetColumn = { name: 'trial_id', type: 'string', isNullable: false };

const parquetTypes = {
  string: 'string',
  number: 'double',
  integer: 'int',
  boolean: 'boolean',
  datetime: 'timestamp',
} as const satisfies Record<FiguresColumn['type'], ParquetColumn['type']>;

function toParquetColumn({ name, type }: FiguresColumn): ParquetColumn {
  return { name, type: parquetTypes[type], isNullable: name !== 'trial_id' };
}

function toParquetCell(type: FiguresColumn['type'], cell: Cell): ParquetCell {
  if (cell === null) return null;
  if (type === 'boolean') return cell === 'true';
  return type === 'datetime' ? new Date(cell) : cell;
}

const figureTableColumns = [...figureColumns, ...judgementColumns];

/** Tables that grow by a trial at a time, so that no more of a trial is held than its rows. */
export interface GrowingTables {
  readonly trials: DataSetTable;
  readonly figures: DataSetTable;
  readonly levels: DataSetTable;
  readonly add: (record: TrialRecord) => void;
}

/**
 * `trials`: what was pulled, and on what, a row for each trial whatever became of it. `figures`: the newest ones of those that
 * were ever kept. `levels`: a row for each torque to which the time was asked for, so that no column depends on what was asked.
 */
export function createGrowingTables(benchName: string): GrowingTables {
  const trials: ParquetCell[][] = [];
  const figuresRows: ParquetCell[][] = [];
  const levels: ParquetCell[][] = [];
  return {
    trials: {
      columns: [
        ...recordColumns.map(toParquetColumn),
        { name: 'bench_name', type: 'string', isNullable: false },
      ],
      rows: trials,
    },
    figures: { columns: [trialId, ...figureTableColumns.map(toParquetColumn)], rows: figuresRows },
    levels: {
      columns: [
        trialId,
        { name: 'level_nm', type: 'double', isNullable: false },
        { name: 'time_s', type: 'double', isNullable: true },
      ],
      rows: levels,
    },
    add(record) {
      const { summary, figures } = record;
      const cellsOf = (columns: readonly FiguresColumn[]): ParquetCell[] =>
        columns.map(({ read, type }) => toParquetCell(type, read(record, figures)));
      trials.push([...cellsOf(recordColumns), benchName]);
      if (figures === null) return;
      figuresRows.push([summary.id, ...cellsOf(figureTableColumns)]);
      for (const { levelNm, timeS } of figures.timeToLevel) levels.push([summary.id, levelNm, timeS]);
    },
  };
}

/** The calibrations that figures rest on. */
export function calibrationsTable(calibrations: readonly TabledCalibration[]): DataSetTable {
  const text = (name: string): ParquetColumn => ({ name, type: 'string', isNullable: true });
  const number = (name: string): ParquetColumn => ({ name, type: 'double', isNullable: true });
  return {
    columns: [
      { ...text('calibration_id'), isNullable: false },
      text('transducer_id'),
      text('label'),
      text('method'),
      number('forward_gain_nm_per_count'),
      number('forward_valid_to_nm'),
      number('reverse_gain_nm_per_count'),
      number('reverse_valid_to_nm'),
      { name: 'is_straight', type: 'boolean', isNullable: false },
      number('uncertainty_percent'),
      { name: 'created_at', type: 'timestamp', isNullable: false },
      { name: 'superseded_at', type: 'timestamp', isNullable: true },
      text('supersede_reason'),
    ],
    rows: calibrations.map(({ calibration, uncertaintyPercent }) => {
      const { forward, reverse, supersededAt } = calibration;
      return [
        calibration.id,
        calibration.transducerId,
        calibration.label,
        calibration.method,
        forward?.gainNmPerCount ?? null,
        forward?.validToNm ?? null,
        reverse?.gainNmPerCount ?? null,
        reverse?.validToNm ?? null,
        (forward?.curve ?? null) === null && (reverse?.curve ?? null) === null,
        uncertaintyPercent,
        new Date(calibration.createdAt),
        supersededAt === null ? null : new Date(supersededAt),
        calibration.supersedeReason,
      ];
    }),
  };
}
