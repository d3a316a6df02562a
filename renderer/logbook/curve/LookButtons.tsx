import { memo } from 'react';
import { Button } from '../../ui/Button.tsx';
import { ActionRow } from '../../ui/Panel.tsx';
import type { LookStep } from './curve-window.ts';

const steps: readonly { readonly step: LookStep; readonly label: string }[] = [
  { step: 'closer', label: 'Closer' },
  { step: 'wider', label: 'Wider' },
  { step: 'earlier', label: 'Earlier' },
  { step: 'later', label: 'Later' },
  { step: 'whole', label: 'Whole trial' },
];

interface LookButtonsProps {
  /** Of the whole only a part can be shown. */
  readonly isWhole: boolean;
  /** Always the same function, so that a step does not build these anew. */
  readonly onStep: (step: LookStep) => void;
}

export const LookButtons = memo(function LookButtons({ isWhole, onStep }: LookButtonsProps) {
  return (
    <ActionRow>
      {steps.map(({ step, label }) => (
        <Button key={step} onPress={() => onStep(step)} isDisabled={isWhole && step !== 'closer'}>
          {label}
        </Button>
      ))}
    </ActionRow>
  );
});
