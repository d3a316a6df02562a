import {
  type TrialFilter,
  trialFilterSchema,
  type TrialSort,
  trialSortSchema,
} from '../../shared-lib/logbook/logbook-requests.ts';
import type { TrialQuery } from './trial-pages.ts';

/** How each part of the filter is called in the address, in the order in which it stands there. */
const addressNames = {
  search: 'search',
  state: 'state',
  verdict: 'quality',
  kind: 'kind',
  direction: 'direction',
  role: 'role',
  tag: 'tag',
  sessionId: 'session',
  runSheetId: 'sheet',
  setupId: 'setup',
  fromDay: 'from',
  toDay: 'to',
} as const satisfies Record<keyof TrialFilter, string>;

export type FilterKey = keyof typeof addressNames;
export const filterKeys = Object.keys(addressNames) as readonly FilterKey[];

const LONGEST_SEARCH = 200;

export interface LogbookFilter {
  readonly filter: TrialFilter;
  readonly sort: TrialSort;
  readonly query: TrialQuery;
  readonly isFiltered: boolean;
  /** The list with this filter. */
  readonly address: string;
  /** What follows the address of a page that works on what the filter finds; empty or with its question mark. */
  readonly suffix: string;
}

/** What is searched for stands in the address, so that back, reload and a bookmark find the same list. */
export function logbookFilter(params: URLSearchParams): LogbookFilter {
  const filter = filterIn(params);
  const read = trialSortSchema.safeParse(params.get('sort'));
  const sort = read.success ? read.data : 'newest';
  const kept = paramsOf(filter, sort);
  const suffix = kept.size === 0 ? '' : `?${kept.toString()}`;
  return {
    filter,
    sort,
    query: sort === 'newest' ? filter : { ...filter, sort },
    isFiltered: filterKeys.some((key) => isSet(filter, key)),
    address: `/logbook${suffix}`,
    suffix,
  };
}

/** The address's parameters with a part of the filter changed; null or an empty text takes it out. */
export function withFilter(params: URLSearchParams, key: FilterKey, value: string | null): URLSearchParams {
  const next = new URLSearchParams(params);
  if (value === null || value === '') next.delete(addressNames[key]);
  else next.set(addressNames[key], value);
  return next;
}

/** The same filter in another order; the usual one is not written. */
export function withSort(params: URLSearchParams, sort: TrialSort): URLSearchParams {
  const next = new URLSearchParams(params);
  if (sort === 'newest') next.delete('sort');
  else next.set('sort', sort);
  return next;
}

/** The list of the trials of one session. */
export function sessionTrialsAddress(sessionId: string): string {
  return `/logbook?${new URLSearchParams({ [addressNames.sessionId]: sessionId }).toString()}`;
}

export function isSet(filter: TrialFilter, key: FilterKey): boolean {
  const value = filter[key];
  return value !== undefined && value !== null && value !== '';
}

/** A part that the contract does not know, as in an address typed by hand, is left out: it has no mark and filters nothing. */
function filterIn(params: URLSearchParams): TrialFilter {
  const known = filterKeys.flatMap((key) => {
    const text = params.get(addressNames[key]);
    if (text === null || !trialFilterSchema.shape[key].safeParse(text).success) return [];
    return [[key, text] as const];
  });
  const search = (params.get(addressNames.search) ?? '').slice(0, LONGEST_SEARCH);
  return trialFilterSchema.parse({ state: null, ...Object.fromEntries(known), search });
}

function paramsOf(filter: TrialFilter, sort: TrialSort): URLSearchParams {
  const set = filterKeys.filter((key) => isSet(filter, key));
  const params = new URLSearchParams(set.map((key) => [addressNames[key], filter[key] ?? '']));
  return withSort(params, sort);
}

/** Each stands in the address, which must not grow without end. */
export const MOST_PICKED = 100;

/** With the trial picked, or no longer picked; the first ones stay where it would become too many. */
export function withToggled(picked: ReadonlySet<string>, trialId: string): ReadonlySet<string> {
  const next = new Set(picked);
  if (next.delete(trialId)) return next;
  return next.size < MOST_PICKED ? next.add(trialId) : picked;
}

/** The page that reassigns just these. */
export function pickedAddress(picked: ReadonlySet<string>): string {
  const params = new URLSearchParams([...picked].map((trialId) => ['trial', trialId]));
  return `/logbook/reassign?${params.toString()}`;
}
