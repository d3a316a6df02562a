import { useState } from 'react';
import { Button } from '../../ui/Button.tsx';
import { QuantityField } from '../../ui/QuantityField.tsx';
import { delayText, readDelay } from './overlay-words.ts';

interface DelayFieldProps {
  readonly delayMs: number;
  readonly onChange: (delayMs: number) => void;
}

/** How much later everything is shown; taken by the button beside it, and by leaving the field. */
export function DelayField({ delayMs, onChange }: DelayFieldProps) {
  const [typed, setTyped] = useState(delayText(delayMs));
  const reading = readDelay(typed);
  const take = (): void => {
    if ('value' in reading && reading.value !== delayMs) onChange(reading.value);
  };
  return (
    <form
      className="overlay-field"
      onSubmit={(event) => {
        event.preventDefault();
        take();
      }}
    >
      <QuantityField
        label="Delay"
        typed={typed}
        onTyped={setTyped}
        parse={readDelay}
        onBlur={take}
        isRequired
        help="Everything is shown so much later, so that it meets a camera picture that comes late. A sync mark shows whether it does."
      />
      <Button type="submit" isDisabled={!('value' in reading) || reading.value === delayMs}>
        Set the delay
      </Button>
    </form>
  );
}
