import type { ReactNode } from 'react';
import { Check } from 'lucide-react';
import { Checkbox as AriaCheckbox, Switch as AriaSwitch } from 'react-aria-components';
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
    <AriaCheckbox className="ui-check" isSelected={isSelected} onChange={onChange} isDisabled={isDisabled}>
      <span className="ui-check-mark" aria-hidden="true">
        {isSelected ? <Check size={18} strokeWidth={3} /> : null}
      </span>
      <span>{children}</span>
    </AriaCheckbox>
  );
}

/** Something that is on or off at once. */
export function Switch({ isSelected, onChange, isDisabled = false, children }: ToggleProps) {
  return (
    <AriaSwitch className="ui-switch" isSelected={isSelected} onChange={onChange} isDisabled={isDisabled}>
      <span className="ui-switch-track" aria-hidden="true" />
      <span>{children}</span>
    </AriaSwitch>
  );
}
