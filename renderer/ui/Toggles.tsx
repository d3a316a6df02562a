import type { ReactNode } from 'react';
import { Check } from 'lucide-react';
import { CheckboxButton, CheckboxField, SwitchButton, SwitchField } from 'react-aria-components';
import './fields.css';

export interface ToggleProps {
  readonly isSelected: boolean;
  readonly onChange: (isSelected: boolean) => void;
  readonly isDisabled?: boolean;
  readonly children: ReactNode;
}

/** Something that is agreed to or belongs to a list; takes effect with the form it stands in. */
export function Checkbox({ isSelected, onChange, isDisabled = false, children }: ToggleProps) {
  return (
    <CheckboxField isSelected={isSelected} onChange={onChange} isDisabled={isDisabled}>
      <CheckboxButton className="ui-check">
        <span className="ui-check-mark" aria-hidden="true">
          {isSelected ? <Check size={18} strokeWidth={3} /> : null}
        </span>
        <span>{children}</span>
      </CheckboxButton>
    </CheckboxField>
  );
}

/** Something that is on or off at once. */
export function Switch({ isSelected, onChange, isDisabled = false, children }: ToggleProps) {
  return (
    <SwitchField isSelected={isSelected} onChange={onChange} isDisabled={isDisabled}>
      <SwitchButton className="ui-switch">
        <span className="ui-switch-track" aria-hidden="true" />
        <span>{children}</span>
      </SwitchButton>
    </SwitchField>
  );
}
