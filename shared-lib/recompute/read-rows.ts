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

/** Two columns of numbers, row by row in one array: left, right, left, right. */
export type Pairs = Float64Array;

/**
 * Two columns of numbers, as counts and arrivals have them, read straight: such files are most of a package.
 *
 * Errors: NotAPackage naming the line that is not two numbers.
 */
export function readPairs(csv: string, header: string, fileName: string): Pairs {
  const endOfHeader = endOfLine(csv, 0);
  if (trimmed(csv, 0, endOfHeader) !== header) {
    throw new NotAPackage(fileName, `The header is not "${header}".`);
  }
  const numbers: number[] = [];
  for (let at = endOfHeader + 1; at < csv.length;) {
    const end = endOfLine(csv, at);
    const line = trimmed(csv, at, end);
    const comma = line.indexOf(',');
    const [left, right] = [line.slice(0, comma), line.slice(comma + 1)];
    if (comma === -1 || !isNumberText(left) || !isNumberText(right)) {
      const number = numbers.length / 2 + 2;
      throw new NotAPackage(fileName, `Line ${number} is not two numbers: "${line.slice(0, 60)}".`);
    }
    numbers.push(Number(left), Number(right));
    at = end + 1;
  }
  return Float64Array.from(numbers);
}

function endOfLine(text: string, from: number): number {
  const end = text.indexOf('\n', from);
  return end === -1 ? text.length : end;
}

function trimmed(text: string, from: number, end: number): string {
  return text.slice(from, text[end - 1] === '\r' ? end - 1 : end);
}

export function isNumberText(text: string): boolean {
  return /^-?(?:\d+(?:\.\d+)?|\.\d+)(?:[eE][+-]?\d+)?$/.test(text);
}
