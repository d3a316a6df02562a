import type { TrialView } from '../../shared-lib/bench-status.ts';
import { formatNumber } from '../../shared-lib/format-quantity.ts';
import { useLiveReading } from '../live-curve/LiveFeedContext.tsx';
import type { LiveReading } from '../live-curve/live-feed.ts';
import { StateShape } from '../ui/StateShape.tsx';
import type { BenchSentences } from './bench-sentences.ts';
import './next-step.css';

/** A fault is spoken by the status line already. */
const liveness = { calm: 'polite', caution: 'polite', act: 'assertive', fault: 'off' } as const;

/** Beyond this the type is smaller, so that a long tool name leaves the curve its room. */
const LONG_SENTENCE = 40;

/** What is next, in words that are read from three metres; spoken when it changes. */
export function NextStep({
  sentences: { next, detail, tone },
  trial,
}: {
  readonly sentences: BenchSentences;
  readonly trial: TrialView | null;
}) {
  return (
    <div className={`next-step next-step-${tone}`}>
      <div aria-live={liveness[tone]} aria-atomic="true">
        <p className={`next-step-next${next.length > LONG_SENTENCE ? ' next-step-long' : ''}`}>
          {tone === 'fault' || tone === 'caution' ? <StateShape shape={tone} /> : null}
          <span>{next}</span>
        </p>
        {detail === null ? null : <p className="next-step-detail">{detail}</p>}
      </div>
      {trial?.phase === 'run' ? (
        <TimeLeft onsetSlot={trial.onsetSlot} plannedS={trial.step.plannedS} />
      ) : null}
    </div>
  );
}

/** On the sample clock, which is what closes the window of the run. */
function TimeLeft({ onsetSlot, plannedS }: { readonly onsetSlot: number; readonly plannedS: number }) {
  const reading = useLiveReading();
  return (
    <p className="next-step-time" role="timer" aria-label="Time left" aria-live="off">
      {formatNumber(Math.max(plannedS - elapsedS(reading, onsetSlot), 0), 1)}
      <span className="next-step-time-unit"> s left</span>
    </p>
  );
}

/** Seconds from onset to the newest sample, 0 before there is one. */
export function elapsedS(reading: LiveReading | null, onsetSlot: number): number {
  return reading === null ? 0 : Math.max((reading.endSlot - onsetSlot) / reading.sampleRateHz, 0);
}
