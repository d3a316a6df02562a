/** Where the pages are found that prepare a day at the bench. */
export const runSheetAddresses = {
  sheets: '/bench/sheets',
  newSheet: '/bench/sheets/new',
  items: '/bench/items',
  plans: '/bench/plans',
} as const;

export function sheetAddress(runSheetId: string): string {
  return `${runSheetAddresses.sheets}/${encodeURIComponent(runSheetId)}`;
}
