import { CsvError, parse } from 'csv-parse/sync';
import type { FileRow } from '../../shared-lib/catalogue/read-catalogue-table.ts';

/**
 * The rows of a CSV file, separated by commas, semicolons or tabs, whichever its first line has most of; with or without a
 * byte-order mark. Or why it is no such file.
 */
export function readCsv(
  text: string,
): { readonly rows: readonly FileRow[] } | { readonly line: number; readonly problem: string } {
  const bare = text.replace(/^\uFEFF/, '');
  try {
    const rows: FileRow[] = [];
    let lastLine = 0;
    parse(bare, {
      delimiter: separatorOf(bare),
      relax_column_count: true,
      // The parser tells the line on which a record ends; a note may have several.
      on_record(cells: string[], { lines }) {
        rows.push({ line: lastLine + 1, cells });
        lastLine = lines;
        return null;
      },
    });
    return { rows };
  } catch (error) {
    if (!(error instanceof CsvError)) throw error;
    const line = typeof error.lines === 'number' ? error.lines : 1;
    return {
      line,
      problem: `Line ${line}: the file is no table there. Look for a quotation mark that is opened and not closed, or one in the middle of a cell, which has to be doubled.`,
    };
  }
}

/** Of its first line, outside of quotation marks. */
function separatorOf(text: string): string {
  const header = (/^[^\r\n]*/.exec(text)?.[0] ?? '').replace(/"[^"]*"/g, '');
  const count = (mark: string): number => header.split(mark).length - 1;
  const [best = ','] = [',', ';', '\t'].toSorted((a, b) => count(b) - count(a));
  return best;
}
