import { useRef } from 'react';
import { Button } from '../ui/Button.tsx';
import { pressMeaning, type PrimaryAction } from './primary-action.ts';
import { usePrimaryPress } from './use-primary-press.ts';
import { WordsTogether } from './WordsTogether.tsx';
import './primary-control.css';

export interface PrimaryControlProps {
  readonly action: PrimaryAction;
  readonly isBusy: boolean;
  readonly onAct: (action: PrimaryAction) => void;
}

/** Beyond this the label takes two lines in smaller type, and the control keeps its width. */
const LONG_LABEL = 18;

/** The one control that always does the next right thing, by click, key or pedal. A stop must be held. */
export function PrimaryControl({ action, isBusy, onAct }: PrimaryControlProps) {
  const buttonRef = useRef<HTMLButtonElement>(null);
  const meaning = isBusy ? 'none' : pressMeaning(action);
  const press = usePrimaryPress({
    meaning,
    onPress: () => onAct(action),
    onStop: () => onAct(action),
    buttonRef,
  });
  return (
    <div className="primary-control">
      <Button
        ref={buttonRef}
        look={action.does === 'stop' ? 'plain' : 'primary'}
        size="bench"
        isDisabled={action.does === 'nothing'}
        isPending={isBusy}
        onPressStart={press.onPressStart}
        onPressEnd={press.onPressEnd}
        onPress={press.onPress}
      >
        <span
          className="primary-control-held"
          style={{ transform: `scaleX(${press.holdFraction})` }}
          aria-hidden="true"
        />
        <span
          className={`primary-control-label${action.label.length > LONG_LABEL ? ' primary-control-long' : ''}`}
        >
          <WordsTogether text={action.label} />
        </span>
        <KeyHint meaning={pressMeaning(action)} />
      </Button>
    </div>
  );
}

function KeyHint({ meaning }: { readonly meaning: ReturnType<typeof pressMeaning> }) {
  if (meaning === 'none') return null;
  return <span className="primary-control-key">{meaning === 'hold' ? 'Space or Escape' : 'Space'}</span>;
}
