export interface LeftRow {
  readonly index: number;
  readonly offsetPx: number;
}

/** The key is what follows /logbook in the address. Only the newest list: whoever comes back from a trial comes back to the list it was opened from. */
let newest: { readonly listKey: string; readonly row: LeftRow } | null = null;

export function rememberRow(listKey: string, row: LeftRow): void {
  newest = { listKey, row };
}

/** Null: this list was not left for a trial, or another one was since. */
export function rememberedRow(listKey: string): LeftRow | null {
  return newest?.listKey === listKey ? newest.row : null;
}

/** The list that a trial was opened from, with its filter; all trials where none was. */
export function rememberedAddress(): string {
  return `/logbook${newest?.listKey ?? ''}`;
}
