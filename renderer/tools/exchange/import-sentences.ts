import type { RequestResult } from '../../../shared-lib/api-contract.ts';
import type { ImportRow } from '../../../shared-lib/catalogue/catalogue-requests.ts';
import { countWords } from '../tool-sentences.ts';

export type ImportPreview = RequestResult<'previewCatalogueImport'>;

/** What one request carries; longer files are refused before they are sent. */
export const LONGEST_CSV = 800_000;

export const outcomeWords: Readonly<Record<ImportRow['outcome'], string>> = {
  new: 'New',
  changed: 'Changed',
  same: 'As it is',
  refused: 'Refused',
};

export function countOf({ rows }: ImportPreview, outcome: ImportRow['outcome']): number {
  return rows.filter((row) => row.outcome === outcome).length;
}

/** What the import would do, or why nothing is imported. */
export function previewSentence(preview: ImportPreview): string {
  const { refusedCount, rows } = preview;
  if (rows.length === 0) return 'The file holds no line with a tool, so there is nothing to import.';
  if (refusedCount > 0) {
    return `${countWords(refusedCount, 'line is', 'lines are')} refused, so nothing is imported: put ${refusedCount === 1 ? 'it' : 'them'} right in the file and choose it again.`;
  }
  const parts = (['new', 'changed', 'same'] as const).flatMap((outcome) => {
    const count = countOf(preview, outcome);
    return count === 0 ? [] : [`${count} ${outcomeWords[outcome].toLowerCase()}`];
  });
  return isWorthImporting(preview)
    ? `${countWords(rows.length, 'line', 'lines')}: ${parts.join(', ')}. Nothing has been changed yet.`
    : 'Everything in the file stands in the catalogue as it is, so there is nothing to import.';
}

export function isWorthImporting(preview: ImportPreview): boolean {
  return (
    preview.refusedCount === 0 &&
    preview.rows.some(({ outcome }) => outcome === 'new' || outcome === 'changed')
  );
}

export function importedSentence({ newCount, changedCount }: RequestResult<'importCatalogue'>): string {
  return `Imported: ${countWords(newCount, 'new tool', 'new tools')}, ${countWords(changedCount, 'changed', 'changed')}. What stood there before is in the history of each tool.`;
}

export type CsvText = { readonly text: string } | { readonly problem: string };

/** The text of a file, which must be UTF-8: a letter that cannot be read is never replaced by a guess. */
export function readCsvBytes(bytes: Uint8Array): CsvText {
  const decoder = new TextDecoder('utf-8', { fatal: true });
  try {
    const text = decoder.decode(bytes);
    if (text.length <= LONGEST_CSV) return { text };
    return { problem: 'This file is too long to be a catalogue of tools, so it was not read.' };
  } catch (failure) {
    if (!(failure instanceof TypeError)) throw failure;
    return {
      problem:
        'This file holds letters that are not UTF-8, so it was not read. Save it from the spreadsheet as “CSV UTF-8” and choose it again.',
    };
  }
}
