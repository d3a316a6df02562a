import { AppError } from '../../shared-lib/app-error.ts';
import {
  type Standard,
  standardSchema,
  type Standards,
} from '../../shared-lib/calibration/standards-model.ts';
import { type ReadableDatabase, reading, type WritableDatabase, writing } from './database.ts';
import { fromJsonColumn, toJsonColumn } from './json-column.ts';
import { foldForSearch } from './search-folding.ts';

export type StandardKind = Standard['kind'];

/** All of them, weights by mass and the others by name. */
export function listStandards(database: ReadableDatabase): Standards {
  const all = reading(() =>
    database
      .prepare<[], { id: string; standard_json: string }>(
        'SELECT id, standard_json FROM standard ORDER BY name_folded, id',
      )
      .all()
      .map(({ id, standard_json }) => fromJsonColumn(standardSchema, standard_json, `standard ${id}`)),
  );
  return {
    weights: all
      .flatMap((standard) => (standard.kind === 'weight' ? [standard.weight] : []))
      .sort((one, other) => one.massKg - other.massKg),
    arms: all.flatMap((standard) => (standard.kind === 'arm' ? [standard.arm] : [])),
    sites: all.flatMap((standard) => (standard.kind === 'site' ? [standard.site] : [])),
  };
}

/**
 * Stores a new one, or the new form of one.
 *
 * Errors: AppError 'invalid-request' where another of its kind has the same name, or its id belongs to another kind.
 */
export function saveStandard(database: WritableDatabase, standard: Standard): void {
  const { id, name } = contentOf(standard);
  writing(database, () => {
    const folded = foldForSearch(name);
    const twin = database
      .prepare<{ kind: StandardKind; folded: string; id: string }, { id: string }>(
        'SELECT id FROM standard WHERE kind = @kind AND name_folded = @folded AND id <> @id OR id = @id AND kind <> @kind',
      )
      .get({ kind: standard.kind, folded, id });
    if (twin !== undefined) {
      throw new AppError(
        'invalid-request',
        `There is a ${standard.kind} "${name}" already. Nothing was stored. Give this one a name of its own: the instructions of a run tell them apart by their names.`,
        { standardId: id },
      );
    }
    database
      .prepare(
        `INSERT INTO standard (id, kind, standard_json, name_folded) VALUES (?, ?, ?, ?)
         ON CONFLICT (id) DO UPDATE SET standard_json = excluded.standard_json, name_folded = excluded.name_folded`,
      )
      .run(id, standard.kind, toJsonColumn(standardSchema, standard), folded);
  });
}

/** Errors: AppError 'standard-not-found'. */
export function removeStandard(database: WritableDatabase, kind: StandardKind, id: string): void {
  writing(database, () => {
    const { changes } = database.prepare('DELETE FROM standard WHERE kind = ? AND id = ?').run(kind, id);
    if (changes > 0) return;
    throw new AppError(
      'standard-not-found',
      `There is no such ${kind}. Nothing was changed. Choose one from the list in Calibrate.`,
      { standardId: id },
    );
  });
}

function contentOf(standard: Standard): { readonly id: string; readonly name: string } {
  switch (standard.kind) {
    case 'weight':
      return standard.weight;
    case 'arm':
      return standard.arm;
    case 'site':
      return standard.site;
  }
}
