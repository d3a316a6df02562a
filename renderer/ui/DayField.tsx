import { Input, Label, Text, TextField as AriaTextField } from 'react-aria-components';
import './fields.css';

export interface DayFieldProps {
  readonly label: string;
  /** Such as 2026-03-31, or empty. */
  readonly day: string;
  readonly onDay: (day: string) => void;
  readonly help?: string;
}

/** A calendar day, by the browser's own field, which knows how its user writes one. */
export function DayField({ label, day, onDay, help }: DayFieldProps) {
  return (
    <AriaTextField className="ui-field" type="date" value={day} onChange={onDay} validationBehavior="aria">
      <Label className="ui-label">{label}</Label>
      <Input className="ui-input" />
      {help === undefined ? null : (
        <Text slot="description" className="ui-help">
          {help}
        </Text>
      )}
    </AriaTextField>
  );
}
