import { createWriteStream, statSync } from 'node:fs';
import { Readable } from 'node:stream';
import { pipeline } from 'node:stream/promises';
import { ZipFile } from 'yazl';
import { figuresTable, type Table } from '../../shared-lib/tables/figures-table.ts';
import { type CsvForm, writeCsv } from '../../shared-lib/tables/write-csv.ts';
import { listCatalogue } from '../catalogue/read-catalogue.ts';
import { localDay } from '../platform/local-day.ts';
import { type ReadableDatabase, reading } from '../storage/database.ts';
import { getTrial } from '../storage/trial-repository.ts';
import type { Work, WorkTools } from '../work/work-tools.ts';
import { curveParts } from './curve-csv.ts';
import { finishTarget } from '../work/finish-target.ts';
import { type Reading, withReadOnlyDatabase } from './read-only-database.ts';
import { tablesReadMe } from './read-me-texts.ts';
import { calibrationsSheet, sessionsSheet, toolsSheet } from './sheet-tables.ts';
import { calibrationIdsOf, readTabledCalibrations } from './tabled-calibrations.ts';
import { readTabledTrial, type TabledTrial } from './tabled-trial.ts';
import { listOrigins } from './trial-origins.ts';

export interface TablesWork {
  readonly databasePath: string;
  readonly trialIds: readonly string[];
  readonly targetFile: string;
  readonly separator: ',' | ';';
  readonly decimal: '.' | ',';
}

/**
 * Writes a ZIP of CSV files for a spreadsheet: see docs/data-files.md. Trials that are still being recorded are left out.
 *
 * Errors: those of `finishTarget`; AppError 'block-corrupt', 'cancelled'.
 */
export const writeTables: Work<TablesWork, { readonly bytes: number }> = async (input, tools) =>
  withReadOnlyDatabase(input.databasePath, (from) =>
    finishTarget(input.targetFile, async (part) => {
      await writeZip(part, (zip) => {
        addEntries(zip, from, input, tools);
      });
      return { bytes: statSync(part).size };
    }),
  );

async function writeZip(path: string, fill: (zip: ZipFile) => void): Promise<void> {
  const zip = new ZipFile();
  const file = createWriteStream(path, { flags: 'wx', flush: true });
  // What goes wrong with an entry ends the file too, or it would be waited for for ever.
  zip.on('error', (error: Error) => file.destroy(error));
  fill(zip);
  zip.end();
  await pipeline(zip.outputStream, file);
}

function addEntries(
  zip: ZipFile,
  from: Reading,
  { trialIds, separator, decimal }: TablesWork,
  tools: WorkTools,
): void {
  const form: CsvForm = { separator, decimal, guardsFormulas: true };
  const ids = listEnded(from.database(), trialIds);
  const records = ids.map((id) => getTrial(from.database(), id));
  const newest = records.at(-1)?.summary.startedAt;
  // The time of the newest trial: the same trials make the same file.
  const options = newest === undefined ? {} : { mtime: new Date(newest) };
  const add = (name: string, text: string): void => {
    zip.addBuffer(Buffer.from(text), name, options);
  };

  const origins = listOrigins(from.database());
  const figures = figuresTable(
    records.map((record) => ({
      record,
      figures: record.figures,
      benchName: origins.get(record.summary.id)?.name ?? null,
    })),
  );
  const toolIds = new Set(records.flatMap(({ summary }) => summary.setup?.toolId ?? []));
  const calibrationIds = new Set(records.flatMap(calibrationIdsOf));
  const withoutCurve = records.filter((record) => record.figures === null).length;
  add('read-me.txt', `\uFEFF${tablesReadMe({ separator, decimal, withoutCurve })}`);
  add('trial-figures.csv', sheetText(figures, form));
  add('columns.csv', sheetText(columnsOf(figures), form));
  add(
    'calibrations.csv',
    sheetText(calibrationsSheet(readTabledCalibrations(from.database(), calibrationIds)), form),
  );
  add('sessions.csv', sheetText(sessionsSheet(from.database(), ids), form));
  add(
    'tools.csv',
    sheetText(toolsSheet(listCatalogue(from.database()).filter(({ tool }) => toolIds.has(tool.id))), form),
  );
  ids.forEach((id, index) => {
    const trial = readTabledTrial(from.database(), id);
    for (const { number, pieces } of curveParts(from.database, trial, form) ?? []) {
      const name = `curves/${curveName(trial, index + 1)}${number === 0 ? '' : `-${number}`}.csv`;
      zip.addReadStreamLazy(name, options, (give) => {
        tools.progress((index + 1) / ids.length, `Curve ${index + 1} of ${ids.length}`);
        const stream = Readable.from(pausing(pieces, tools));
        // The library listens to what was handed to it at once, but not to what it asks for later.
        stream.on('error', (error) => zip.emit('error', error));
        give(null, stream);
      });
    }
  });
}

/** Each piece is made when the one before it has been taken. */
async function* pausing(pieces: () => Generator<string>, tools: WorkTools): AsyncGenerator<Buffer> {
  for (const piece of pieces()) {
    await tools.pause();
    yield Buffer.from(piece);
  }
}

function sheetText({ columns, rows }: Table, form: CsvForm): string {
  return `\uFEFF${writeCsv([columns.map(({ name }) => name), ...rows], form)}`;
}

function columnsOf({ columns }: Table): Table {
  return {
    columns: ['column', 'type', 'meaning'].map((name) => ({ name, type: 'string', description: '' })),
    rows: columns.map(({ name, type, description }) => [name, type, description]),
  };
}

/** In the order in which they were pulled. */
function listEnded(database: ReadableDatabase, trialIds: readonly string[]): string[] {
  return reading(() =>
    database
      .prepare<[string], string>(
        `SELECT id FROM trial WHERE state <> 'recording' AND id IN (SELECT value FROM json_each(?))
         ORDER BY started_at, id`,
      )
      .pluck()
      .all(JSON.stringify(trialIds)),
  );
}

/**
 * Letters and digits of any script, so that every system and every unpacking program takes it. The day is the operator's, as in
 * reports and pictures.
 */
function curveName({ record }: TabledTrial, number: number): string {
  const { startedAt, step } = record.summary;
  const day = localDay(startedAt);
  const tool = step.toolName
    .normalize('NFC')
    .replace(/[^\p{L}\p{N}]+/gu, '-')
    .replace(/^-|-$/g, '');
  return `${String(number).padStart(4, '0')}-${day}-${tool.slice(0, 40)}-${step.kind}-${step.direction}`;
}
