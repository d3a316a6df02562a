import type { StopCause } from '../../shared-lib/trial/trial-model.ts';
import { stopCauses } from '../../shared-lib/trial/words/stop-causes.ts';
import { Button } from '../ui/Button.tsx';
import './stop-causes.css';

interface StopCauseButtonsProps {
  readonly isBusy: boolean;
  readonly onKeep: (stopCause: StopCause) => void;
  /** To be hit with gloves on, each with the key that does the same; what they do stands in the next step there. */
  readonly isOnBench?: boolean;
}

/** One press keeps the trial and says what ended it. */
export function StopCauseButtons({ isBusy, onKeep, isOnBench = false }: StopCauseButtonsProps) {
  return (
    <div className="stop-causes" role="group" aria-label="Keep it, since">
      {isOnBench ? null : <span aria-hidden="true">Keep this trial, since:</span>}
      {stopCauses.map(({ cause, label }, index) => (
        <Button
          key={cause}
          size={isOnBench ? 'bench' : 'normal'}
          isPending={isBusy}
          onPress={() => onKeep(cause)}
        >
          {isOnBench ? (
            <span className="stop-causes-key" aria-hidden="true">
              {index + 1}
            </span>
          ) : null}
          {label}
        </Button>
      ))}
    </div>
  );
}
