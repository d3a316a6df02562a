import type { ReactNode, Ref } from 'react';
import {
  Button as AriaButton,
  type ButtonProps as AriaButtonProps,
  type PressEvent,
} from 'react-aria-components';
import './button.css';

export interface ButtonProps extends Omit<AriaButtonProps, 'className' | 'style' | 'children'> {
  /** `primary`: the one next right thing of a view. `plain`: everything else. `quiet`: without a frame, in rows and bars. */
  readonly look?: 'primary' | 'plain' | 'quiet';
  /** `bench`: at least 22 mm high, for gloves. */
  readonly size?: 'normal' | 'bench';
  readonly children: ReactNode;
  readonly ref?: Ref<HTMLButtonElement>;
}

/** Says on its face what will happen ("Keep this trial"). `isPending` blocks it, says so, and leaves the focus on it. */
export function Button({
  look = 'plain',
  size = 'normal',
  isPending = false,
  children,
  ...rest
}: ButtonProps) {
  const className = `ui-button ui-button-${look} ui-button-${size}`;
  return (
    <AriaButton {...rest} {...(isPending ? blocked(rest) : {})} className={className}>
      {children}
    </AriaButton>
  );
}

/**
 * The library's own way announces a pending button by a reference to it, which points nowhere once the button is gone with
 * its dialog.
 */
function blocked({ type = 'button' }: AriaButtonProps): AriaButtonProps {
  return {
    'aria-disabled': true,
    // Enter in a field must not send the form a second time.
    type: type === 'submit' ? 'button' : type,
    onPress: ignorePress,
    onPressStart: ignorePress,
    onPressEnd: ignorePress,
  };
}

function ignorePress(_event: PressEvent): void {
  // What it does is under way already.
}
