import type { TrialView } from '../../shared-lib/bench-status.ts';
import type { StopCause } from '../../shared-lib/trial/trial-model.ts';
import { useLetterKeys } from '../frame/use-letter-keys.ts';
import { QualityMark } from './QualityMark.tsx';
import { StopCauseButtons } from './StopCauseButtons.tsx';
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
      {asksStopCause(trial.quality) ? <StopCauseKeys isBusy={isBusy} onKeep={onKeep} /> : null}
      <p className="result-panel-note">
        <strong>{describeStep(trial.step)}, not decided yet.</strong> Its samples are stored either way. A
        voided trial stays in the Logbook with its reason and is counted.
      </p>
    </section>
  );
}

/** The keys 1 to 3 do the same as the buttons. */
function StopCauseKeys({ isBusy, onKeep }: Omit<ReviewPanelProps, 'trial'>) {
  const keep = (cause: StopCause): void => {
    if (!isBusy) onKeep(cause);
  };
  useLetterKeys(
    Object.fromEntries(stopCauses.map(({ cause }, index) => [String(index + 1), () => keep(cause)])),
  );
  return <StopCauseButtons isBusy={isBusy} onKeep={keep} isOnBench />;
}
