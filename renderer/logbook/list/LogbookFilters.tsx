import { useState } from 'react';
import type { TrialFilter } from '../../../shared-lib/logbook/logbook-requests.ts';
import { useRequest } from '../../api-client/use-request.ts';
import { qualityWords } from '../../../shared-lib/trial/words/quality-words.ts';
import { Button } from '../../ui/Button.tsx';
import { formatDateTime } from '../../ui/date-time.ts';
import { DayField } from '../../ui/DayField.tsx';
import { SelectField } from '../../ui/SelectField.tsx';
import { TextField } from '../../ui/TextField.tsx';
import { type FilterKey, isSet } from '../logbook-filter.ts';
import { directionNames, kindNames, roleNames } from '../../../shared-lib/trial/words/pull-words.ts';
import { EVERY, optionsOf, stateNames } from './filter-words.ts';

interface LogbookFiltersProps {
  readonly filter: TrialFilter;
  /** `isTyping`: the next change belongs to this one, so that going back does not go letter by letter. */
  readonly onChange: (key: FilterKey, value: string | null, isTyping: boolean) => void;
}

const furtherKeys: readonly FilterKey[] = ['kind', 'role', 'tag', 'sessionId', 'fromDay', 'toDay'];

const stateOptions = optionsOf('Every state', stateNames);
const verdictOptions = optionsOf('Every quality', qualityWords);
const directionOptions = optionsOf('Both directions', directionNames);
const kindOptions = optionsOf('Every kind', kindNames);
const roleOptions = optionsOf('Every role', roleNames);

export function LogbookFilters({ filter, onChange }: LogbookFiltersProps) {
  const [areAllShown, setAreAllShown] = useState(() => furtherKeys.some((key) => isSet(filter, key)));
  const choose = (key: FilterKey) => (value: string) => onChange(key, value === EVERY ? null : value, false);
  return (
    <div className="logbook-filters" role="search" aria-label="Trials">
      <div className="logbook-search">
        <TextField
          label="Search"
          value={filter.search}
          onChange={(search) => onChange('search', search, true)}
          placeholder="Tool, setup, note or tag"
          maxLength={200}
        />
      </div>
      <SelectField
        label="State"
        options={stateOptions}
        selected={filter.state ?? EVERY}
        onSelect={choose('state')}
      />
      <SelectField
        label="Quality"
        options={verdictOptions}
        selected={filter.verdict ?? EVERY}
        onSelect={choose('verdict')}
      />
      <SelectField
        label="Direction"
        options={directionOptions}
        selected={filter.direction ?? EVERY}
        onSelect={choose('direction')}
      />
      <Button aria-expanded={areAllShown} onPress={() => setAreAllShown(!areAllShown)}>
        {areAllShown ? 'Fewer filters' : 'More filters'}
      </Button>
      {areAllShown ? (
        <div className="logbook-filters-further">
          <SelectField
            label="Kind"
            options={kindOptions}
            selected={filter.kind ?? EVERY}
            onSelect={choose('kind')}
          />
          <SelectField
            label="Role"
            options={roleOptions}
            selected={filter.role ?? EVERY}
            onSelect={choose('role')}
          />
          <TagFilter tag={filter.tag ?? null} onSelect={choose('tag')} />
          <div className="logbook-session">
            <SessionFilter sessionId={filter.sessionId ?? null} onSelect={choose('sessionId')} />
          </div>
          <DayField
            label="From"
            day={filter.fromDay ?? ''}
            onDay={(fromDay) => onChange('fromDay', fromDay, true)}
          />
          <DayField
            label="Until"
            day={filter.toDay ?? ''}
            onDay={(toDay) => onChange('toDay', toDay, true)}
          />
        </div>
      ) : null}
    </div>
  );
}

interface TagFilterProps {
  readonly tag: string | null;
  readonly onSelect: (tag: string) => void;
}

function TagFilter({ tag, onSelect }: TagFilterProps) {
  const { result } = useRequest('listTags', {}, 'trialsChanged');
  const tags = result?.tags ?? [];
  const isKnown = tag === null || tags.some((known) => known.tag === tag);
  return (
    <SelectField
      label="Tag"
      options={[
        { key: EVERY, label: 'With and without' },
        ...tags.map(({ tag: key, count }) => ({ key, label: `${key} (${count})` })),
        ...(isKnown ? [] : [{ key: tag, label: tag }]),
      ]}
      selected={tag ?? EVERY}
      onSelect={onSelect}
    />
  );
}

interface SessionFilterProps {
  readonly sessionId: string | null;
  readonly onSelect: (sessionId: string) => void;
}

const NEWEST_SESSIONS = 200;

function SessionFilter({ sessionId, onSelect }: SessionFilterProps) {
  const { result } = useRequest('listSessions', { offset: 0, limit: NEWEST_SESSIONS });
  const sessions = result?.sessions ?? [];
  const isKnown = sessionId === null || sessions.some(({ id }) => id === sessionId);
  return (
    <SelectField
      label="Session"
      options={[
        { key: EVERY, label: 'Every session' },
        ...sessions.map(({ id, startedAt, operator, trialCount }) => ({
          key: id,
          label: formatDateTime(startedAt),
          note: `${operator === '' ? 'no operator' : operator}, ${trialCount === 1 ? '1 trial' : `${trialCount} trials`}`,
        })),
        ...(isKnown ? [] : [{ key: sessionId, label: 'An older session' }]),
      ]}
      selected={sessionId ?? EVERY}
      onSelect={onSelect}
    />
  );
}
