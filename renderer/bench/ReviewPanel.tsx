import type { TrialView } from '../../shared-lib/bench-status.ts';
import type { StopCause } from '../../shared-lib/trial/trial-model.ts';
import { useLetterKeys } from '../frame/use-letter-keys.ts';
import { Button } from '../ui/Button.tsx';
import { QualityMark } from './QualityMark.tsx';
import { describeStep } from './step-words.ts';
import { asksStopCause, stopCauses } from '../../shared-lib/trial/words/stop-causes.ts';
import './result-panel.css';

export interface ReviewPanelProps {
  readonly trial: Extract<TrialView, { phase: 'reviewing' }>;
  readonly isBusy: boolean;
  readonly onKeep: (stopCause: StopCause) => void;
}

/** A run that is not clean is decided by its reasons alone; its figures come after. */
export function ReviewPanel({ trial, isBusy, onKeep }: ReviewPanelProps) {
  return (
    <section className="result-panel" aria-label="Decide about this trial">
      <QualityMark quality={trial.quality} />
      {asksStopCause(trial.quality) ? <StopCauseButtons isBusy={isBusy} onKeep={onKeep} /> : null}
      <p className="result-panel-note">
        <strong>{describeStep(trial.step)}, not decided yet.</strong> Its samples are stored either way. A
        voided trial stays in the Logbook with its reason and is counted.
      </p>
    </section>
  );
}

/** One press keeps the trial and says what ended it. The keys 1 to 3 do the same. */
function StopCauseButtons({ isBusy, onKeep }: Omit<ReviewPanelProps, 'trial'>) {
  const keep = (cause: StopCause): void => {
    if (!isBusy) onKeep(cause);
  };
  useLetterKeys(
    Object.fromEntries(stopCauses.map(({ cause }, index) => [String(index + 1), () => keep(cause)])),
  );
  return (
    <div className="stop-causes" role="group" aria-label="Keep it, since">
      {stopCauses.map(({ cause, label }, index) => (
        <Button key={cause} size="bench" isPending={isBusy} onPress={() => keep(cause)}>
          <span className="stop-causes-key" aria-hidden="true">
            {index + 1}
          </span>
          {label}
        </Button>
      ))}
    </div>
  );
}
