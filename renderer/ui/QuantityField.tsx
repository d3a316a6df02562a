import { useState } from 'react';
import { FieldError, Input, Label, Text, TextField as AriaTextField } from 'react-aria-components';
import { StateShape } from './StateShape.tsx';
import './fields.css';
import './state-shape.css';

/** What a typed quantity means: its value in SI with the text of the converted value, or why it is none. */
export type QuantityReading =
  { readonly value: number; readonly shown: string } | { readonly problem: string };

export interface QuantityFieldProps {
  readonly label: string;
  /** Exactly what was typed ("45 lb", "0,5 m"); the caller keeps it, so that nothing typed is ever lost. */
  readonly typed: string;
  readonly onTyped: (typed: string) => void;
  /** Reads the text, with comma or point and a unit after the number; called on every keystroke. */
  readonly parse: (typed: string) => QuantityReading;
  readonly help?: string;
  readonly placeholder?: string;
  readonly isRequired?: boolean;
  readonly isDisabled?: boolean;
  readonly onBlur?: () => void;
}

/**
 * A number with its unit. Below it stands the converted value ("= 20.41 kg") where that says more than was typed, and the problem with
 * the range named once the field has been left. An empty field has a problem only if `isRequired`.
 */
export function QuantityField({
  label,
  typed,
  onTyped,
  parse,
  help,
  placeholder,
  isRequired = false,
  isDisabled = false,
  onBlur,
}: QuantityFieldProps) {
  const [wasLeft, setWasLeft] = useState(false);
  const isEmpty = typed.trim() === '';
  const reading = isEmpty ? null : parse(typed);
  const problem = problemOf(reading, isRequired);
  const isProblemShown = problem !== null && wasLeft;
  const converted =
    reading !== null && 'shown' in reading && !saysTheSame(typed, reading.shown) ? reading.shown : null;
  return (
    <AriaTextField
      className="ui-field"
      value={typed}
      onChange={onTyped}
      onBlur={() => {
        setWasLeft(true);
        onBlur?.();
      }}
      isRequired={isRequired}
      isDisabled={isDisabled}
      isInvalid={isProblemShown}
      validationBehavior="aria"
      autoComplete="off"
      inputMode="text"
    >
      <Label className="ui-label">{label}</Label>
      <Input className="ui-input" {...(placeholder === undefined ? {} : { placeholder })} />
      {converted === null && help === undefined ? null : (
        <Text slot="description" className="ui-help">
          {converted === null ? help : <span className="ui-converted">= {converted}</span>}
        </Text>
      )}
      <FieldError className="ui-problem">
        <StateShape shape="fault" />
        <span>{problem}</span>
      </FieldError>
    </AriaTextField>
  );
}

/** What was typed as it is shown needs no line of its own. */
function saysTheSame(typed: string, shown: string): boolean {
  return typed.replaceAll(/\s/g, '') === shown.replaceAll(/\s/g, '');
}

function problemOf(reading: QuantityReading | null, isRequired: boolean): string | null {
  if (reading === null) {
    return isRequired ? 'This is needed.' : null;
  }
  return 'problem' in reading ? reading.problem : null;
}
