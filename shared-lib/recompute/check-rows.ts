import type { PackageTable } from '../package/package-table.ts';
import { packageTables } from '../package/package-tables.ts';
import { fileOfTable, type PackageTables } from './read-tables.ts';
import type { Tally } from './tally.ts';

/** That every row is there once, and names only rows that are there. */
export function checkRows(tables: PackageTables, tally: Tally): void {
  const keysOf = new Map(packageTables.map((table) => [table.name, checkKeys(table, tables, tally)]));
  for (const table of packageTables) {
    for (const column of table.columns) {
      if (column.refersTo === null) continue;
      const wanted = keysOf.get(column.refersTo);
      if (wanted === undefined) continue;
      for (const row of tables.rows(table.name)) {
        if (!row.has(column.name)) continue;
        const key = row.text(column.name);
        if (key === '' && column.isNullable) continue;
        if (wanted.has(key)) tally.agree('references between tables');
        else {
          tally.differ(
            'references between tables',
            row.where,
            `${column.name} names “${key}”, which is not in ${fileOfTable(column.refersTo)}.`,
          );
        }
      }
    }
  }
  for (const name of tables.names) {
    if (packageTables.some((table) => table.name === name)) continue;
    tally.differ('rows', fileOfTable(name), 'No table of that name belongs into a package.');
  }
}

function checkKeys(table: PackageTable, tables: PackageTables, tally: Tally): ReadonlySet<string> {
  const seen = new Set<string>();
  for (const row of tables.rows(table.name)) {
    const missing = table.columns.find(({ name }) => !row.has(name));
    if (missing !== undefined) {
      tally.differ('rows', fileOfTable(table.name), `It has no column ${missing.name}.`);
      return seen;
    }
    const key = table.key.map((column) => row.text(column)).join(' ');
    if (seen.has(key)) tally.differ('rows', row.where, `There is another row with the key “${key}”.`);
    else tally.agree('rows');
    seen.add(key);
  }
  return seen;
}
