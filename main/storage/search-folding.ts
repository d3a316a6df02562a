/** The same letters whatever their case or their way of being composed, for finding; not for showing. */
export function foldForSearch(text: string): string {
  return text.normalize('NFKC').toLowerCase();
}

/** What of a trial is searched, a line each, so that no word is found across two of them. */
export function searchText(texts: readonly (string | null | undefined)[]): string {
  return foldForSearch(texts.filter((text) => text).join('\n'));
}

/** Every one of them has to be found. */
export function searchWords(typed: string): string[] {
  return foldForSearch(typed)
    .split(/\s+/)
    .filter((word) => word !== '');
}
