export interface LeftRow {
  readonly index: number;
  readonly offsetPx: number;
}

/** Only the newest list: whoever comes back from a trial comes back to the list it was opened from. */
let newest: { readonly listKey: string; readonly row: LeftRow } | null = null;

export function rememberRow(listKey: string, row: LeftRow): void {
  newest = { listKey, row };
}

/** Null: this list was not left for a trial, or another one was since. */
export function rememberedRow(listKey: string): LeftRow | null {
  return newest?.listKey === listKey ? newest.row : null;
}
