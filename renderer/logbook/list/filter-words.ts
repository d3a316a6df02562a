import { kindNames, directionNames, roleNames } from '../../../shared-lib/trial/words/pull-words.ts';
import type { TrialFilter } from '../../../shared-lib/logbook/logbook-requests.ts';
import { qualityWords } from '../../../shared-lib/trial/words/quality-words.ts';
import { formatDay } from '../../ui/date-time.ts';
import { type FilterKey, filterKeys, isSet } from '../logbook-filter.ts';

/** The choice of a filter that is not set. */
export const EVERY = 'every';

export const stateNames = {
  kept: 'Kept',
  reviewing: 'To be decided',
  interrupted: 'Interrupted',
  recording: 'Recording',
  voided: 'Voided',
  suspect: 'Suspect by a failed check',
  excluded: 'Left out after a failed check',
} as const satisfies Record<NonNullable<TrialFilter['state']>, string>;

export interface Option {
  readonly key: string;
  readonly label: string;
}

/** For a choice that begins with not filtering at all. */
export function optionsOf(everyLabel: string, names: Readonly<Record<string, string>>): Option[] {
  return [
    { key: EVERY, label: everyLabel },
    ...Object.entries(names).map(([key, label]) => ({ key, label })),
  ];
}

/** Names of what the address only has an id of; null where it is not known, or not yet. */
export interface FilterNames {
  readonly session: string | null;
  readonly runSheet: string | null;
  readonly setup: string | null;
}

export interface FilterMark {
  readonly key: FilterKey;
  readonly label: string;
}

/** What is filtered by, each in words, in a fixed order. */
export function filterMarks(filter: TrialFilter, names: FilterNames): FilterMark[] {
  return filterKeys
    .filter((key) => isSet(filter, key))
    .map((key) => ({ key, label: markOf(filter, key, names) }));
}

function markOf(filter: TrialFilter, key: FilterKey, names: FilterNames): string {
  const { state, kind, direction, verdict, role } = filter;
  switch (key) {
    case 'search':
      return `“${filter.search}”`;
    case 'state':
      return state === null ? '' : stateNames[state];
    case 'verdict':
      return verdict ? `Quality: ${qualityWords[verdict].toLowerCase()}` : '';
    case 'kind':
      return kind ? kindNames[kind] : '';
    case 'direction':
      return direction ? directionNames[direction] : '';
    case 'role':
      return role ? roleNames[role] : '';
    case 'tag':
      return `Tag: ${filter.tag ?? ''}`;
    case 'sessionId':
      return names.session === null ? 'One session' : `Session of ${names.session}`;
    case 'runSheetId':
      return names.runSheet === null ? 'One run sheet' : `Run sheet: ${names.runSheet}`;
    case 'setupId':
      return names.setup === null ? 'One setup' : `Setup: ${names.setup}`;
    case 'fromDay':
      return `From ${formatDay(filter.fromDay ?? '')}`;
    case 'toDay':
      return `Until ${formatDay(filter.toDay ?? '')}`;
  }
}
