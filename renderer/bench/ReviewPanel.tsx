import type { TrialView } from '../../shared-lib/bench-status.ts';
import { describeStep } from './bench-sentences.ts';
import { QualityMark } from './QualityMark.tsx';
import './result-panel.css';

export interface ReviewPanelProps {
  readonly trial: Extract<TrialView, { phase: 'reviewing' }>;
}

/** A run that is not clean is decided by its reasons alone; its figures come after. */
export function ReviewPanel({ trial }: ReviewPanelProps) {
  return (
    <section className="result-panel" aria-label="Decide about this trial">
      <QualityMark quality={trial.quality} />
      <p className="result-panel-note">
        <strong>{describeStep(trial.step)}, not decided yet.</strong> Its samples are stored either way. A
        voided trial stays in the Logbook with its reason and is counted.
      </p>
    </section>
  );
}
