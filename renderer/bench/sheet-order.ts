import type { RunSheet, RunSheetEntry } from '../../shared-lib/run-sheet/run-sheet-model.ts';

/** Where an open entry goes: before another one, null: to the end. Undefined: it cannot go there. */
export interface Moves {
  readonly next: string | undefined;
  readonly up: string | undefined;
  readonly down: string | null | undefined;
}

export interface WhatIsLeft {
  readonly open: readonly RunSheetEntry[];
  readonly skipped: readonly RunSheetEntry[];
}

export function whatIsLeft({ entries }: Pick<RunSheet, 'entries'>): WhatIsLeft {
  return {
    open: entries.filter(({ state }) => state === 'open'),
    skipped: entries.filter(({ state }) => state === 'skipped'),
  };
}

/** Where the entry at `index` of the open ones can be moved. */
export function movesOf(open: readonly Pick<RunSheetEntry, 'id'>[], index: number): Moves {
  const idAt = (at: number): string | undefined => open[at]?.id;
  return {
    next: index === 0 ? undefined : idAt(0),
    up: index === 0 ? undefined : idAt(index - 1),
    down: index >= open.length - 1 ? undefined : (idAt(index + 2) ?? null),
  };
}
