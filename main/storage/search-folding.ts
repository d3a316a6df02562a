/** The same letters whatever their case or their way of being composed, for finding; not for showing. */
export function foldForSearch(text: string): string {
  return text.normalize('NFKC').toLowerCase();
}
