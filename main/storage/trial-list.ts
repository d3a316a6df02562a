import type { RequestParams, RequestResult } from '../../shared-lib/api-contract.ts';
import type { TrialSort } from '../../shared-lib/logbook/logbook-requests.ts';
import { type ReadableDatabase, reading } from './database.ts';
import { foldForSearch, searchWords } from './search-folding.ts';
import { createSuspicionLookup, excludedTrials, undecidedTrials } from './suspicion-repository.ts';
import { inTime, selectSummaries, type SummaryRow, toSummary } from './trial-summary.ts';

/** What is asked of the list, with days turned into instants: a day ends at the midnight of whoever asks. */
export interface TrialListQuery extends Omit<RequestParams<'listTrials'>, 'fromDay' | 'toDay'> {
  readonly startedFrom?: string | null | undefined;
  /** Not included. */
  readonly startedBefore?: string | null | undefined;
  /** These only, as far as they match what else is asked. */
  readonly ids?: readonly string[] | null | undefined;
}

/** What has no torque comes last either way. Ties are in the order of time, so that pages do not overlap. */
const orders = {
  newest: 'started_at DESC, id DESC',
  oldest: 'started_at, id',
  strongest: 'shown_sustained_nm IS NULL, shown_sustained_nm DESC, started_at DESC, id DESC',
  weakest: 'shown_sustained_nm IS NULL, shown_sustained_nm, started_at DESC, id DESC',
  tool: 'shown_tool_name_folded, started_at DESC, id DESC',
} as const satisfies Record<TrialSort, string>;

/**
 * A page of the trials that match all that is asked for, and how many there are. A voided trial is in state 'voided' here,
 * whatever it was before.
 *
 * Matches are found, counted and put in order in the index `trial_by_start`, which holds all of that; the wide rows are
 * read for the page only.
 */
export function listTrials(database: ReadableDatabase, query: TrialListQuery): RequestResult<'listTrials'> {
  const { where, values } = listCondition(query);
  return reading(() => {
    const total = database
      .prepare<unknown[], number>(`SELECT count(*) FROM trial ${where}`)
      .pluck()
      .get(...values);
    const ids = database
      .prepare<unknown[], string>(
        `SELECT id FROM trial ${where} ORDER BY ${orders[query.sort ?? 'newest']} LIMIT ? OFFSET ?`,
      )
      .pluck()
      .all(...values, query.limit, query.offset);
    const rows = database
      .prepare<[string], SummaryRow>(`${selectSummaries} WHERE id IN (SELECT value FROM json_each(?))`)
      .all(JSON.stringify(ids));
    const place = new Map(ids.map((id, index) => [id, index]));
    const placeOf = ({ id }: SummaryRow): number => place.get(id) ?? 0;
    const suspicionOf = createSuspicionLookup(database);
    return {
      total: total ?? 0,
      trials: rows
        .toSorted((a, b) => placeOf(a) - placeOf(b))
        .map((row) => toSummary(row, suspicionOf(inTime(row)))),
    };
  });
}

/** Only what was asked for, so that the planner sees a plain condition. */
function listCondition(query: TrialListQuery): {
  readonly where: string;
  readonly values: readonly string[];
} {
  const conditions: string[] = [];
  const values: string[] = [];
  const demand = (condition: string, value: string | null | undefined): void => {
    if (value === null || value === undefined) return;
    conditions.push(condition);
    values.push(value);
  };
  demand('started_at >= ?', query.startedFrom);
  demand('started_at < ?', query.startedBefore);
  const { state } = query;
  if (state !== null) conditions.push(`is_voided = ${Number(state === 'voided')}`);
  if (state === 'suspect') conditions.push(`id IN (${undecidedTrials})`);
  else if (state === 'excluded') conditions.push(`id IN (${excludedTrials})`);
  else if (state !== 'voided') demand('state = ?', state);
  demand('id IN (SELECT value FROM json_each(?))', query.ids && JSON.stringify(query.ids));
  demand('kind = ?', query.kind);
  demand('direction = ?', query.direction);
  demand('newest_verdict = ?', query.verdict);
  demand('role = ?', query.role);
  demand('session_id = ?', query.sessionId);
  demand('run_sheet_id = ?', query.runSheetId);
  demand('shown_setup_id = ?', query.setupId);
  demand(
    'id IN (SELECT trial_id FROM trial_tag WHERE tag_folded = ?)',
    query.tag && foldForSearch(query.tag),
  );
  for (const word of searchWords(query.search)) demand('instr(search_text, ?) > 0', word);
  return { where: conditions.length === 0 ? '' : `WHERE ${conditions.join(' AND ')}`, values };
}
