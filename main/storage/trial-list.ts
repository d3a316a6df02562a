import type { RequestParams, RequestResult } from '../../shared-lib/api-contract.ts';
import { type ReadableDatabase, reading } from './database.ts';
import { foldForSearch } from './search-folding.ts';
import { createSuspicionLookup, excludedTrials, undecidedTrials } from './suspicion-repository.ts';
import { inTime, selectSummaries, type SummaryRow, toSummary } from './trial-summary.ts';

/**
 * A page of the trials whose tool's name contains the text, newest first. A voided trial is in state 'voided' here,
 * whatever it was before.
 */
export function listTrials(
  database: ReadableDatabase,
  { search, state, offset, limit }: RequestParams<'listTrials'>,
): RequestResult<'listTrials'> {
  const { where, values } = listCondition(search, state);
  return reading(() => {
    const total = database
      .prepare<unknown[], number>(`SELECT count(*) FROM trial ${where}`)
      .pluck()
      .get(...values);
    const rows = database
      .prepare<unknown[], SummaryRow>(
        `${selectSummaries} ${where} ORDER BY started_at DESC, id DESC LIMIT ? OFFSET ?`,
      )
      .all(...values, limit, offset);
    const suspicionOf = createSuspicionLookup(database);
    return { total: total ?? 0, trials: rows.map((row) => toSummary(row, suspicionOf(inTime(row)))) };
  });
}

/** Only what was asked for, so that the planner sees a plain condition. */
function listCondition(
  search: string,
  state: RequestParams<'listTrials'>['state'],
): { readonly where: string; readonly values: readonly string[] } {
  const folded = foldForSearch(search.trim());
  const conditions: string[] = [];
  const values: string[] = [];
  if (folded !== '') {
    conditions.push('instr(tool_name_folded, ?) > 0');
    values.push(folded);
  }
  if (state === 'voided') conditions.push('is_voided = 1');
  else if (state === 'suspect') conditions.push('is_voided = 0', `id IN (${undecidedTrials})`);
  else if (state === 'excluded') conditions.push('is_voided = 0', `id IN (${excludedTrials})`);
  else if (state !== null) {
    conditions.push('is_voided = 0', 'state = ?');
    values.push(state);
  }
  return { where: conditions.length === 0 ? '' : `WHERE ${conditions.join(' AND ')}`, values };
}
