import { NotAPackage } from './not-a-package.ts';

/** A cell without anything in it is null; `""` is an empty text. */
export type CsvCell = string | null;
/** A row of a CSV table, by column. */
export type Row = Readonly<Record<string, CsvCell>>;

/**
 * Rows of a table by RFC 4180 with a header. Errors: NotAPackage naming the line that has another number of cells, a quote that is
 * never closed, or two columns of one name.
 */
export function readRows(csv: string, fileName: string): Row[] {
  const [header, ...lines] = readCells(csv, fileName);
  if (header === undefined) throw new NotAPackage(fileName, 'The file is empty; it has not even a header.');
  if (new Set(header).size < header.length) {
    throw new NotAPackage(fileName, 'Two columns have the same name.');
  }
  const columns = header.map((column) => column ?? '');
  return lines.map((cells, index) => {
    if (cells.length !== header.length) {
      throw new NotAPackage(
        fileName,
        `Row ${index + 1} has ${cells.length} cells, and the header has ${header.length}.`,
      );
    }
    return Object.fromEntries(columns.map((column, place) => [column, cells[place] ?? null]));
  });
}

function readCells(csv: string, fileName: string): CsvCell[][] {
  const rows: CsvCell[][] = [];
  let row: CsvCell[] = [];
  let at = csv.startsWith('\uFEFF') ? 1 : 0;
  while (at < csv.length) {
    let cell: CsvCell;
    if (csv[at] === '"') {
      const end = closingQuote(csv, at, fileName);
      cell = csv.slice(at + 1, end).replaceAll('""', '"');
      at = end + 1;
    } else {
      const end = endOfCell(csv, at);
      cell = end === at ? null : csv.slice(at, end);
      at = end;
    }
    row.push(cell);
    if (csv[at] === ',') {
      at += 1;
      // A comma at the very end is followed by one more, empty cell.
      if (at < csv.length && csv[at] !== '\r' && csv[at] !== '\n') continue;
      row.push(null);
    }
    if (at < csv.length && csv[at] !== '\r' && csv[at] !== '\n') {
      throw new NotAPackage(fileName, `Row ${rows.length} has text behind a closing quote.`);
    }
    rows.push(row);
    row = [];
    at += csv[at] === '\r' && csv[at + 1] === '\n' ? 2 : 1;
  }
  return rows;
}

function closingQuote(csv: string, opening: number, fileName: string): number {
  for (let at = csv.indexOf('"', opening + 1); at !== -1; at = csv.indexOf('"', at + 2)) {
    if (csv[at + 1] !== '"') return at;
  }
  throw new NotAPackage(fileName, 'A quote is opened and never closed.');
}

function endOfCell(csv: string, from: number): number {
  let at = from;
  while (at < csv.length && csv[at] !== ',' && csv[at] !== '\r' && csv[at] !== '\n') at += 1;
  return at;
}

export function isNumberText(text: string): boolean {
  return /^-?(?:\d+(?:\.\d+)?|\.\d+)(?:[eE][+-]?\d+)?$/.test(text);
}
