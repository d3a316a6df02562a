import { createHash } from 'node:crypto';
import { promisify } from 'node:util';
import { brotliCompress, brotliDecompressSync, constants } from 'node:zlib';
import { AppError } from '../../shared-lib/app-error.ts';
import {
  type Edition,
  editionSchema,
  type EditionSummary,
  editionSummarySchema,
} from '../../shared-lib/standings/standings-model.ts';
import { type ReadableDatabase, reading, type WritableDatabase, writing } from './database.ts';
import { fromJsonColumn, toJsonColumn } from './json-column.ts';

/** All of an edition but who made it, when and under which name: what its fingerprint is of. */
export type EditionContent = Omit<Edition, 'summary'>;
const contentSchema = editionSchema.omit({ summary: true });

export interface PackedContent {
  /** SHA-256 in hex. */
  readonly fingerprint: string;
  readonly bytes: Buffer;
}

const compress = promisify(brotliCompress);
/** The highest one takes seconds for ten thousand trials and saves a tenth. */
const BROTLI_QUALITY = 6;

/** Off the main thread where it takes long. The same content has the same fingerprint, in whatever order its keys were. */
export async function packContent(content: EditionContent): Promise<PackedContent> {
  const json = Buffer.from(toJsonColumn(contentSchema, content));
  const bytes = await compress(json, { params: { [constants.BROTLI_PARAM_QUALITY]: BROTLI_QUALITY } });
  return { fingerprint: fingerprintOf(json), bytes };
}

export function insertEdition(database: WritableDatabase, summary: EditionSummary, bytes: Buffer): void {
  const { id, tableId, name, note, operator, createdAt, definitionVersion, softwareVersion, fingerprint } =
    editionSummarySchema.parse(summary);
  writing(database, () => {
    database
      .prepare(
        `INSERT INTO edition (id, table_id, name, note, operator, created_at, definition_version, software_version,
           fingerprint, content)
         VALUES (?, ?, ?, ?, ?, ?, ?, ?, ?, ?)`,
      )
      .run(
        id,
        tableId,
        name,
        note,
        operator,
        createdAt,
        definitionVersion,
        softwareVersion,
        fingerprint,
        bytes,
      );
  });
}

const selectSummaries = `
SELECT id, table_id AS tableId, name, note, operator, created_at AS createdAt, definition_version AS definitionVersion,
  software_version AS softwareVersion, fingerprint
FROM edition`;

/** Newest first. */
export function listEditions(database: ReadableDatabase, tableId: string): EditionSummary[] {
  return reading(() =>
    database
      .prepare<[string]>(`${selectSummaries} WHERE table_id = ? ORDER BY created_at DESC, rowid DESC`)
      .all(tableId)
      .map((row) => editionSummarySchema.parse(row)),
  );
}

/** Errors: AppError 'edition-not-found'; 'database-damaged' where it is not what was frozen. */
export function getEdition(database: ReadableDatabase, editionId: string): Edition {
  return reading(() => {
    const row = database.prepare<[string]>(`${selectSummaries} WHERE id = ?`).get(editionId);
    const bytes = database
      .prepare<[string], Buffer>('SELECT content FROM edition WHERE id = ?')
      .pluck()
      .get(editionId);
    if (row === undefined || bytes === undefined) throw editionNotFound(editionId);
    const summary = editionSummarySchema.parse(row);
    const json = unpack(bytes, summary);
    return { summary, ...fromJsonColumn(contentSchema, json, `edition "${summary.name}"`) };
  });
}

function unpack(bytes: Buffer, { id, name, fingerprint }: EditionSummary): string {
  let json: Buffer;
  try {
    json = brotliDecompressSync(bytes);
  } catch (cause) {
    throw damaged(id, name, cause);
  }
  if (fingerprintOf(json) !== fingerprint) throw damaged(id, name);
  return json.toString();
}

function fingerprintOf(json: Buffer): string {
  return createHash('sha256').update(json).digest('hex');
}

function editionNotFound(editionId: string): AppError {
  return new AppError(
    'edition-not-found',
    'There is no such edition. Nothing was changed. Choose one from the list of editions.',
    { editionId },
  );
}

function damaged(editionId: string, name: string, cause?: unknown): AppError {
  return new AppError(
    'database-damaged',
    `The edition "${name}" is not what was frozen: its fingerprint is another. It is not shown. Trials, tools and all other editions stay usable. Put back the newest backup if you need it.`,
    { editionId },
    cause,
  );
}
