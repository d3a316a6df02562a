/**
 * Text in cells of a CSV file that a spreadsheet may open. A cell that begins with one of these signs would be taken for a
 * formula, and so would what stands behind a semicolon, a tab or a line break, where the spreadsheet separates cells by
 * those.
 */
const formula = /(^|[;\t\r\n])((?:'| )*[=+\-@＝＋－＠])/gu;
const protectedFormula = /(^|[;\t\r\n])'((?:'| )*[=+\-@＝＋－＠])/gu;

/** With an apostrophe before whatever would be taken for a formula. `unprotectCell` gives back exactly what was there. */
export function protectCell(text: string): string {
  return text.replace(formula, "$1'$2");
}

/** Takes the apostrophe away that stands before a formula, one layer of them; other text stays as it is. */
export function unprotectCell(text: string): string {
  return text.replace(protectedFormula, '$1$2');
}

/**
 * A CSV file as RFC 4180 has it, with a byte-order mark, by which spreadsheets know UTF-8. Cells are protected against being
 * taken for formulas.
 */
export function writeCsv(rows: readonly (readonly string[])[]): string {
  const lines = rows.map((row) => `${row.map((cell) => quoteCell(protectCell(cell))).join(',')}\r\n`);
  return `\uFEFF${lines.join('')}`;
}

function quoteCell(cell: string): string {
  return /["',;\t\r\n]|^\s|\s$/.test(cell) ? `"${cell.replaceAll('"', '""')}"` : cell;
}
