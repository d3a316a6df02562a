import { AppError } from '../../shared-lib/app-error.ts';
import type { PlaceRanges } from '../../shared-lib/standings/standings-model.ts';
import type { RequestHandlers } from '../services.ts';
import type { TableReader, TableState } from './read-table.ts';

/** The draws of a table take a second or two, and more than one change meanwhile is a bench at work. */
const MOST_TRIES = 3;

/**
 * Standings with the ranges of exactly these: both are asked for until nothing changed in between.
 *
 * Errors: those of `stateOf`; AppError 'invalid-state' where it changes again and again.
 */
export async function tableWithRanges(
  tables: Pick<TableReader, 'stateOf'>,
  shown: Pick<RequestHandlers, 'getPlaceRanges'>,
  tableId: string,
): Promise<TableState & { readonly placeRanges: PlaceRanges }> {
  for (let tries = 0; tries < MOST_TRIES; tries += 1) {
    const state = tables.stateOf(tableId);
    const placeRanges = await shown.getPlaceRanges({ tableId });
    if (isSame(state, tables.stateOf(tableId))) return { ...state, placeRanges };
  }
  throw new AppError(
    'invalid-state',
    'The standings changed again and again while their ranges were drawn, so nothing was made. Nothing was changed. Make it again when no trial is being pulled.',
    { tableId },
  );
}

function isSame(before: TableState, after: TableState): boolean {
  return JSON.stringify(before.input) === JSON.stringify(after.input);
}
