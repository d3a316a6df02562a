import type { ReactNode, Ref } from 'react';
import { Button as AriaButton, type ButtonProps as AriaButtonProps } from 'react-aria-components';
import './button.css';

export interface ButtonProps extends Omit<AriaButtonProps, 'className' | 'style' | 'children'> {
  /** `primary`: the one next right thing of a view. `plain`: everything else. `quiet`: without a frame, in rows and bars. */
  readonly look?: 'primary' | 'plain' | 'quiet';
  /** `bench`: at least 22 mm high, for gloves. */
  readonly size?: 'normal' | 'bench';
  readonly children: ReactNode;
  readonly ref?: Ref<HTMLButtonElement>;
}

/** Says on its face what will happen ("Keep this trial"). `isPending` blocks it and is spoken. */
export function Button({ look = 'plain', size = 'normal', children, ...rest }: ButtonProps) {
  return (
    <AriaButton {...rest} className={`ui-button ui-button-${look} ui-button-${size}`}>
      {children}
    </AriaButton>
  );
}
