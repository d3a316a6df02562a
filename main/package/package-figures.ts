import type { TableSchema } from '../../shared-lib/package/table-schemas.ts';
import { figuresTable, type TabledTrial } from '../../shared-lib/tables/figures-table.ts';
import { writeCsv } from '../../shared-lib/tables/write-csv.ts';
import type { ReadableDatabase } from '../storage/database.ts';
import { getTrial } from '../storage/trial-repository.ts';
import { textPieces } from './file-stream.ts';
import { FIGURES_FORM } from '../../shared-lib/package/figures-form.ts';

interface FiguresFile {
  readonly path: string;
  readonly description: string;
  readonly schema: TableSchema;
  readonly pieces: () => AsyncIterable<Uint8Array>;
}

/**
 * A line for each trial of the package, as people read it: figures of those that were ever kept. The order is that of time, so that it
 * reads like a list of what was done.
 */
export function figuresOfPackage(
  database: ReadableDatabase,
  path: string,
  pause: () => Promise<void>,
): FiguresFile {
  const table = figuresTable(chosenTrials(database));
  return {
    path,
    description: 'A line per trial for people; it follows from the files in data/.',
    schema: {
      fields: table.columns.map(({ name, type, description }) =>
        type === 'datetime' ? { name, type, format: 'any', description } : { name, type, description },
      ),
      primaryKey: ['trial_id'],
    },
    pieces: () =>
      textPieces(
        [
          writeCsv([table.columns.map(({ name }) => name)], FIGURES_FORM),
          ...table.rows.map((row) => writeCsv([row], FIGURES_FORM)),
        ],
        pause,
      ),
  };
}

/** Only what the table asks for is kept of each, a few kilobytes. */
function chosenTrials(database: ReadableDatabase): TabledTrial[] {
  return database
    .prepare<[], string>('SELECT id FROM trial JOIN chosen_trial ON key = id ORDER BY started_at, id')
    .pluck()
    .all()
    .map((trialId) => {
      const { summary, conditions, slotCount, lostSlots, zeroAfterCounts, figures } = getTrial(
        database,
        trialId,
      );
      return { record: { summary, conditions, slotCount, lostSlots, zeroAfterCounts }, figures };
    });
}
