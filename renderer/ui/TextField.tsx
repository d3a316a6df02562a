import { FieldError, Input, Label, Text, TextField as AriaTextField } from 'react-aria-components';
import { StateShape } from './StateShape.tsx';
import './fields.css';
import './state-shape.css';

export interface TextFieldProps {
  readonly label: string;
  readonly value: string;
  readonly onChange: (value: string) => void;
  readonly onBlur?: () => void;
  /** For a field that stands in no form of its own. */
  readonly onEnter?: () => void;
  readonly help?: string;
  /** Why the value cannot be taken and what would be; null or left out: it can. */
  readonly problem?: string | null;
  readonly placeholder?: string;
  readonly maxLength?: number;
  readonly isRequired?: boolean;
  readonly isDisabled?: boolean;
  readonly autoFocus?: boolean;
}

/** One line of text. Errors keep what was typed: the text belongs to the caller, the field never changes it. */
export function TextField({
  label,
  value,
  onChange,
  onBlur,
  onEnter,
  help,
  problem = null,
  placeholder,
  maxLength,
  isRequired = false,
  isDisabled = false,
  autoFocus = false,
}: TextFieldProps) {
  return (
    <AriaTextField
      className="ui-field"
      value={value}
      onChange={onChange}
      {...(onBlur === undefined ? {} : { onBlur })}
      {...(onEnter === undefined
        ? {}
        : {
            onKeyDown: ({ key }) => {
              if (key === 'Enter') onEnter();
            },
          })}
      {...(maxLength === undefined ? {} : { maxLength })}
      isRequired={isRequired}
      isDisabled={isDisabled}
      isInvalid={problem !== null}
      validationBehavior="aria"
      autoFocus={autoFocus}
      autoComplete="off"
    >
      <Label className="ui-label">{label}</Label>
      <Input className="ui-input" {...(placeholder === undefined ? {} : { placeholder })} />
      {help === undefined ? null : (
        <Text slot="description" className="ui-help">
          {help}
        </Text>
      )}
      <FieldError className="ui-problem">
        <StateShape shape="fault" />
        <span>{problem}</span>
      </FieldError>
    </AriaTextField>
  );
}
