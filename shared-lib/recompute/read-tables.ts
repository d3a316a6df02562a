import type { PackageFiles } from './package-files.ts';
import { readTable, type TableRow } from './table-row.ts';

/** The rows of all tables of a package; a table that is not in it has none. */
export interface PackageTables {
  readonly names: readonly string[];
  rows(table: string): readonly TableRow[];
  /** Rows by what stands in a column. */
  by(table: string, column: string): ReadonlyMap<string, readonly TableRow[]>;
}

const tableFile = /^data\/([a-z_]+)\.csv$/;

export function fileOfTable(table: string): string {
  return `data/${table}.csv`;
}

/** Errors: NotAPackage, of the first table that cannot be read. */
export async function readTables(files: PackageFiles): Promise<PackageTables> {
  const tables = new Map<string, TableRow[]>();
  for (const name of files.names()) {
    const table = tableFile.exec(name)?.[1];
    if (table !== undefined) tables.set(table, readTable(await files.text(name), name));
  }
  const groups = new Map<string, ReadonlyMap<string, readonly TableRow[]>>();
  return {
    names: [...tables.keys()],
    rows: (table) => tables.get(table) ?? [],
    by(table, column) {
      const place = `${table} ${column}`;
      const known = groups.get(place);
      if (known !== undefined) return known;
      const grouped = new Map<string, TableRow[]>();
      for (const row of inOrderOfIds(tables.get(table) ?? [])) {
        const group = grouped.get(row.text(column));
        if (group === undefined) grouped.set(row.text(column), [row]);
        else group.push(row);
      }
      groups.set(place, grouped);
      return grouped;
    },
  };
}

/** Rows that were numbered in the order in which they came, in that order, wherever they stand in the file. */
export function inOrderOfIds(rows: readonly TableRow[]): readonly TableRow[] {
  const isNumbered = rows.every((row) => row.has('id') && /^\d+$/.test(row.text('id')));
  return isNumbered ? rows.toSorted((a, b) => a.number('id') - b.number('id')) : rows;
}
