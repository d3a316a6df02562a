import { ChevronDown } from 'lucide-react';
import { Button, Dialog, DialogTrigger, Label, Popover } from 'react-aria-components';
import { useId } from 'react';
import { ChoiceField } from '../ui/ChoiceField.tsx';
import { formatDateTime } from '../ui/date-time.ts';
import { Checkbox } from '../ui/Toggles.tsx';
import {
  type CompleteChoice,
  type ListedContender,
  type ListedContenders,
  sessionsOfPair,
} from './choose-pair.ts';
import type { AddressedChoice } from './compare-address.ts';
import { firstSessions, presenceWords, sessionWords, withSession } from './picker-options.ts';

interface SessionPickerProps {
  readonly listed: ListedContenders;
  readonly choice: CompleteChoice;
  readonly a: ListedContender;
  readonly b: ListedContender;
  readonly onChange: (change: Partial<AddressedChoice>) => void;
}

const ways = [
  { key: 'automatic', label: 'Automatic' },
  { key: 'chosen', label: 'Chosen' },
] as const;
type Way = (typeof ways)[number]['key'];

/** From which sessions: the newest that both have, or those that are ticked. */
export function SessionPicker({ listed, choice, a, b, onChange }: SessionPickerProps) {
  const labelId = useId();
  const buttonId = useId();
  const sessions = sessionsOfPair(listed, a, b, choice.step);
  const { sessionIds } = choice;
  const words =
    sessionIds === null ? 'Automatic' : sessionIds.length === 1 ? '1 chosen' : `${sessionIds.length} chosen`;
  return (
    <DialogTrigger>
      <div className="ui-field">
        <Label className="ui-label" id={labelId}>
          Sessions
        </Label>
        <Button id={buttonId} className="ui-select-button" aria-labelledby={`${labelId} ${buttonId}`}>
          {words}
          <ChevronDown aria-hidden="true" size={18} />
        </Button>
      </div>
      <Popover className="ui-select-list compare-sessions" placement="bottom end">
        <Dialog aria-label="Sessions" className="compare-sessions-content">
          <ChoiceField<Way>
            label="Sessions"
            isLabelHidden
            choices={ways}
            selected={sessionIds === null ? 'automatic' : 'chosen'}
            onSelect={(way) => onChange({ sessionIds: way === 'automatic' ? null : firstSessions(sessions) })}
            help="Automatic takes the newest session that both have; without one, the newest of each."
          />
          {sessionIds === null ? null : (
            <ul className="compare-session-list" aria-label="Sessions that are taken">
              {sessions.map(({ session, hasA, hasB }) => (
                <li key={session.id}>
                  <Checkbox
                    isSelected={sessionIds.includes(session.id)}
                    onChange={(isWanted) =>
                      onChange({ sessionIds: withSession(sessionIds, session.id, isWanted) })
                    }
                  >
                    {sessionWords(session, formatDateTime)}
                    <span className="compare-soft"> {presenceWords({ hasA, hasB })}</span>
                  </Checkbox>
                </li>
              ))}
            </ul>
          )}
        </Dialog>
      </Popover>
    </DialogTrigger>
  );
}
