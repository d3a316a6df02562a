import { AppError } from '../../shared-lib/app-error.ts';
import {
  type SchemeDraft,
  schemeDraftSchema,
  type SchemeVersion,
  schemeVersionSchema,
} from '../../shared-lib/standings/scheme-model.ts';
import { type ReadableDatabase, reading, type WritableDatabase, writing } from './database.ts';
import { fromJsonColumn, toJsonColumn } from './json-column.ts';

/** The user's own schemes; each of their versions stays as it was stored. */
interface SchemeRow {
  scheme_id: string;
  version: number;
  scheme_json: string;
  operator: string;
  created_at: string;
}

const selectVersions = 'SELECT scheme_id, version, scheme_json, operator, created_at FROM scheme_version';

/** The newest version of each, in the order in which the schemes were made. */
export function listOwnSchemes(database: ReadableDatabase): SchemeVersion[] {
  return reading(() =>
    database
      .prepare<[], SchemeRow>(
        `${selectVersions} AS newest
         WHERE version = (SELECT max(version) FROM scheme_version WHERE scheme_id = newest.scheme_id)
         ORDER BY (SELECT created_at FROM scheme_version WHERE scheme_id = newest.scheme_id AND version = 1), scheme_id`,
      )
      .all()
      .map(toVersion),
  );
}

/** Newest first; empty where there is no such scheme. */
export function listOwnSchemeVersions(database: ReadableDatabase, schemeId: string): SchemeVersion[] {
  return reading(() =>
    database
      .prepare<[string], SchemeRow>(`${selectVersions} WHERE scheme_id = ? ORDER BY version DESC`)
      .all(schemeId)
      .map(toVersion),
  );
}

/**
 * Stores a draft as the next version of its scheme, the first of a new one; a draft that changes nothing makes none.
 * Returns the newest version.
 */
export function appendSchemeVersion(
  database: WritableDatabase,
  draft: SchemeDraft,
  by: { readonly schemeId: string; readonly operator: string; readonly createdAt: string },
): SchemeVersion {
  const { schemeId, operator, createdAt } = by;
  return writing(database, () => {
    const [newest] = listOwnSchemeVersions(database, schemeId);
    const content = toJsonColumn(schemeDraftSchema, draft);
    if (newest !== undefined && toJsonColumn(schemeDraftSchema, draftOf(newest)) === content) return newest;
    const version = (newest?.version ?? 0) + 1;
    database
      .prepare(
        'INSERT INTO scheme_version (scheme_id, version, scheme_json, operator, created_at) VALUES (?, ?, ?, ?, ?)',
      )
      .run(schemeId, version, content, operator, createdAt);
    return schemeVersionSchema.parse({ ...draft, schemeId, version, operator, createdAt });
  });
}

/** Ready-made ones among them. */
export function listArchivedSchemeIds(database: ReadableDatabase): string[] {
  return reading(() =>
    database.prepare<[], string>('SELECT scheme_id FROM archived_scheme ORDER BY scheme_id').pluck().all(),
  );
}

/** A table that has it goes on having it. */
export function setSchemeArchived(database: WritableDatabase, schemeId: string, isArchived: boolean): void {
  writing(database, () => {
    database
      .prepare(
        isArchived
          ? 'INSERT INTO archived_scheme (scheme_id) VALUES (?) ON CONFLICT DO NOTHING'
          : 'DELETE FROM archived_scheme WHERE scheme_id = ?',
      )
      .run(schemeId);
  });
}

export function schemeNotFound(schemeId: string): AppError {
  return new AppError(
    'scheme-not-found',
    'There is no such scheme. Nothing was changed. Choose one from the list of schemes.',
    { schemeId },
  );
}

function draftOf({ name, terms, isNormalised, note }: SchemeVersion): SchemeDraft {
  return { name, terms, isNormalised, note };
}

function toVersion({ scheme_id, version, scheme_json, operator, created_at }: SchemeRow): SchemeVersion {
  const draft = fromJsonColumn(schemeDraftSchema, scheme_json, `version ${version} of scheme ${scheme_id}`);
  return { ...draft, schemeId: scheme_id, version, operator, createdAt: created_at };
}
