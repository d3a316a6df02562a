import type { CatalogueTool } from '../../shared-lib/catalogue/catalogue-model.ts';
import type { Table } from '../../shared-lib/tables/figures-table.ts';
import type { TableColumn } from '../../shared-lib/tables/figures-columns.ts';
import type { Cell } from '../../shared-lib/tables/write-csv.ts';
import { type ReadableDatabase, reading } from '../storage/database.ts';
import { calibrationsTable } from './data-set-tables.ts';
import type { TabledCalibration } from './tabled-calibrations.ts';

interface SheetColumn<Row> {
  readonly name: string;
  readonly type: TableColumn['type'];
  readonly read: (row: Row) => Cell;
}

interface SessionRow {
  readonly id: string;
  readonly startedAt: string;
  readonly endedAt: string | null;
  readonly operator: string;
  readonly transducer: string;
  readonly rigNote: string;
  readonly ambientC: number | null;
  readonly relativeHumidityPercent: number | null;
  readonly airPressureHpa: number | null;
}

const sessionColumns: readonly SheetColumn<SessionRow>[] = [
  { name: 'session_id', type: 'string', read: ({ id }) => id },
  { name: 'started_at', type: 'datetime', read: ({ startedAt }) => startedAt },
  { name: 'ended_at', type: 'datetime', read: ({ endedAt }) => endedAt },
  { name: 'operator', type: 'string', read: ({ operator }) => operator },
  { name: 'transducer', type: 'string', read: ({ transducer }) => transducer },
  { name: 'rig_note', type: 'string', read: ({ rigNote }) => rigNote },
  { name: 'ambient_c', type: 'number', read: ({ ambientC }) => ambientC },
  {
    name: 'relative_humidity_percent',
    type: 'number',
    read: ({ relativeHumidityPercent }) => relativeHumidityPercent,
  },
  { name: 'air_pressure_hpa', type: 'number', read: ({ airPressureHpa }) => airPressureHpa },
];

/** The sittings of these trials, oldest first. */
export function sessionsSheet(database: ReadableDatabase, trialIds: readonly string[]): Table {
  const rows = reading(() =>
    database
      .prepare<[string], SessionRow>(
        `SELECT session.id, session.started_at AS startedAt, ended_at AS endedAt, operator,
           transducer.name AS transducer, rig_note AS rigNote, ambient_c AS ambientC,
           relative_humidity_percent AS relativeHumidityPercent, air_pressure_hpa AS airPressureHpa
         FROM session JOIN transducer ON transducer.id = transducer_id
         WHERE session.id IN (SELECT session_id FROM trial WHERE id IN (SELECT value FROM json_each(?)))
         ORDER BY session.started_at, session.id`,
      )
      .all(JSON.stringify(trialIds)),
  );
  return sheetOf(sessionColumns, rows);
}

const toolColumns: readonly SheetColumn<CatalogueTool>[] = [
  { name: 'tool_id', type: 'string', read: ({ tool }) => tool.id },
  { name: 'name', type: 'string', read: ({ tool }) => tool.name },
  { name: 'maker', type: 'string', read: ({ details }) => details.maker },
  { name: 'model', type: 'string', read: ({ details }) => details.model },
  { name: 'class', type: 'string', read: ({ details }) => details.toolClass },
  { name: 'supply', type: 'string', read: ({ tool }) => tool.supply },
  { name: 'drive', type: 'string', read: ({ details }) => details.driveSize },
  { name: 'length_m', type: 'number', read: ({ details }) => details.lengthM },
  { name: 'mass_bare_kg', type: 'number', read: ({ details }) => details.massBareKg },
  { name: 'mass_loaded_kg', type: 'number', read: ({ details }) => details.massLoadedKg },
  {
    name: 'highest_fastening_claim_nm',
    type: 'number',
    read: ({ details }) => highestClaim(details.claims, 'fastening'),
  },
  {
    name: 'highest_breakaway_claim_nm',
    type: 'number',
    read: ({ details }) => highestClaim(details.claims, 'breakaway'),
  },
  { name: 'declared_vibration_mps2', type: 'number', read: ({ tool }) => tool.declaredVibrationMps2 },
  { name: 'declared_noise_dba', type: 'number', read: ({ tool }) => tool.declaredNoiseDbA },
  { name: 'note', type: 'string', read: ({ details }) => details.note },
];

export function toolsSheet(tools: readonly CatalogueTool[]): Table {
  return sheetOf(toolColumns, tools);
}

const sheetTypes = {
  string: 'string',
  int: 'integer',
  double: 'number',
  boolean: 'boolean',
  timestamp: 'datetime',
} as const satisfies Record<string, TableColumn['type']>;

/** The calibrations that figures rest on, with what they state of themselves: the same rows as in the data set. */
export function calibrationsSheet(calibrations: readonly TabledCalibration[]): Table {
  const { columns, rows } = calibrationsTable(calibrations);
  return {
    columns: columns.map(({ name, type }) => ({ name, type: sheetTypes[type], description: '' })),
    rows: rows.map((row) =>
      row.map((cell): Cell => {
        if (cell instanceof Date) return cell.toISOString();
        return typeof cell === 'boolean' ? String(cell) : cell;
      }),
    ),
  };
}

function highestClaim(
  claims: CatalogueTool['details']['claims'],
  kind: CatalogueTool['details']['claims'][number]['kind'],
): number | null {
  const torques = claims.filter((claim) => claim.kind === kind).map(({ torqueNm }) => torqueNm);
  return torques.length === 0 ? null : Math.max(...torques);
}

function sheetOf<Row>(columns: readonly SheetColumn<Row>[], rows: readonly Row[]): Table {
  return {
    columns: columns.map(({ name, type }) => ({ name, type, description: '' })),
    rows: rows.map((row) => columns.map(({ read }) => read(row))),
  };
}
