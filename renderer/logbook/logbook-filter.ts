import type { TrialQuery } from './trial-pages.ts';

export const everyState = 'every';

export const stateOptions = [
  { key: everyState, label: 'Every state' },
  { key: 'kept', label: 'Kept' },
  { key: 'reviewing', label: 'To be decided' },
  { key: 'interrupted', label: 'Interrupted' },
  { key: 'voided', label: 'Voided' },
  { key: 'suspect', label: 'Suspect by a failed check' },
  { key: 'excluded', label: 'Left out after a failed check' },
] as const;
export type StateKey = (typeof stateOptions)[number]['key'];

export interface LogbookFilter {
  readonly search: string;
  readonly stateKey: StateKey;
  readonly query: TrialQuery;
  readonly isFiltered: boolean;
  /** The list with this filter. */
  readonly address: string;
  /** What follows the address of a page that works on what the filter finds; empty or with its question mark. */
  readonly suffix: string;
}

/** What is searched for stands in the address, so that going back from a trial finds the same list. */
export function logbookFilter(params: URLSearchParams): LogbookFilter {
  const search = (params.get('tool') ?? '').slice(0, 200);
  const stateKey = stateOptions.find(({ key }) => key === params.get('state'))?.key ?? everyState;
  const kept = new URLSearchParams();
  if (search !== '') kept.set('tool', search);
  if (stateKey !== everyState) kept.set('state', stateKey);
  const suffix = kept.size === 0 ? '' : `?${kept.toString()}`;
  return {
    search,
    stateKey,
    query: { search, state: stateKey === everyState ? null : stateKey },
    isFiltered: search !== '' || stateKey !== everyState,
    address: `/logbook${suffix}`,
    suffix,
  };
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
