import { X } from 'lucide-react';
import type { TrialFilter } from '../../../shared-lib/logbook/logbook-requests.ts';
import { describeSetup } from '../../../shared-lib/run-sheet/describe-entry.ts';
import { setupAsTested } from '../../../shared-lib/run-sheet/setup-as-tested.ts';
import { useRequest } from '../../api-client/use-request.ts';
import { Button } from '../../ui/Button.tsx';
import { formatDateTime } from '../../ui/date-time.ts';
import type { FilterKey } from '../logbook-filter.ts';
import { type FilterNames, filterMarks } from './filter-words.ts';

interface FilterMarksProps {
  readonly filter: TrialFilter;
  readonly onRemove: (key: FilterKey) => void;
  readonly onClear: () => void;
}

/** What the list is filtered by, each with a press that takes it out; nothing where it is not filtered. */
export function FilterMarks({ filter, onRemove, onClear }: FilterMarksProps) {
  const marks = filterMarks(filter, useFilterNames(filter));
  if (marks.length === 0) return null;
  return (
    <ul className="logbook-marks" aria-label="Filtered by">
      {marks.map(({ key, label }) => (
        <li key={key}>
          <Button aria-label={`Remove the filter ${label}`} onPress={() => onRemove(key)}>
            {label}
            <X aria-hidden="true" size={16} />
          </Button>
        </li>
      ))}
      <li>
        <Button look="quiet" onPress={onClear}>
          Show every trial
        </Button>
      </li>
    </ul>
  );
}

/** The address has only ids of these; what they are called is asked for where one is filtered by. */
function useFilterNames({ sessionId, runSheetId, setupId }: TrialFilter): FilterNames {
  const sessions = useRequest('listSessions', sessionId == null ? null : { offset: 0, limit: 200 });
  const sheets = useRequest('listRunSheets', runSheetId == null ? null : {});
  const items = useRequest('listBenchItems', setupId == null ? null : {});
  const session = sessions.result?.sessions.find(({ id }) => id === sessionId);
  const setup = items.result?.setups.find(({ id }) => id === setupId);
  const tested = setup === undefined || items.result === null ? null : setupAsTested(setup, items.result);
  return {
    session: session === undefined ? null : formatDateTime(session.startedAt),
    runSheet: sheets.result?.runSheets.find(({ id }) => id === runSheetId)?.name ?? null,
    setup: tested === null ? null : describeSetup(tested),
  };
}
