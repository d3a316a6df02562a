import { Label, RadioButton, RadioField, RadioGroup, Text } from 'react-aria-components';
import './fields.css';

export interface Choice<Key extends string> {
  readonly key: Key;
  readonly label: string;
  /** Shown with `layout="list"` only. */
  readonly note?: string;
}

export interface ChoiceFieldProps<Key extends string> {
  readonly label: string;
  readonly isLabelHidden?: boolean;
  readonly choices: readonly Choice<Key>[];
  readonly selected: Key | null;
  readonly onSelect: (key: Key) => void;
  /** `row`: side by side as one control; `list`: one below the other, with notes. */
  readonly layout?: 'row' | 'list';
  readonly help?: string;
  readonly isDisabled?: boolean;
}

/** One of a few, all in sight (a radio group). */
export function ChoiceField<Key extends string>({
  label,
  isLabelHidden = false,
  choices,
  selected,
  onSelect,
  layout = 'row',
  help,
  isDisabled = false,
}: ChoiceFieldProps<Key>) {
  return (
    <RadioGroup
      className={`ui-choice ui-choice-${layout}`}
      value={selected}
      onChange={(key) => {
        const choice = choices.find((candidate) => candidate.key === key);
        if (choice !== undefined) {
          onSelect(choice.key);
        }
      }}
      orientation={layout === 'row' ? 'horizontal' : 'vertical'}
      isDisabled={isDisabled}
      {...(isLabelHidden ? { 'aria-label': label } : {})}
    >
      {isLabelHidden ? null : <Label className="ui-label">{label}</Label>}
      <div className="ui-choice-options">
        {choices.map((choice) => (
          <RadioField key={choice.key} value={choice.key} className="ui-choice-field">
            <RadioButton className="ui-choice-option">
              <span>
                {choice.label}
                {choice.note === undefined || layout === 'row' ? null : (
                  <span className="ui-choice-note"> {choice.note}</span>
                )}
              </span>
            </RadioButton>
          </RadioField>
        ))}
      </div>
      {help === undefined ? null : (
        <Text slot="description" className="ui-help">
          {help}
        </Text>
      )}
    </RadioGroup>
  );
}
