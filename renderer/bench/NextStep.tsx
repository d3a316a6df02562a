import type { TrialView } from '../../shared-lib/bench-status.ts';
import { formatNumber } from '../../shared-lib/format-quantity.ts';
import { useLiveReading } from '../live-curve/LiveFeedContext.tsx';
import type { LiveReading } from '../live-curve/live-feed.ts';
import { StateShape } from '../ui/StateShape.tsx';
import type { BenchSentences } from './primary-action.ts';
import { formatClock } from './sheet-sentences.ts';
import { WordsTogether } from './WordsTogether.tsx';
import './next-step.css';

/** A fault is spoken by the status line already. */
const liveness = { calm: 'polite', caution: 'polite', act: 'assertive', fault: 'off' } as const;

/** Beyond these the type is smaller, so that a long tool name leaves the curve its room. */
const LONG_SENTENCE = 40;
const LONGEST_SENTENCE = 62;
/** From here on tenths of a second say nothing; ours. */
const LONG_RUN_S = 120;

/** What is next, in words that are read from three metres; spoken when it changes. */
export function NextStep({
  sentences: { next, detail, mark, tone },
  trial,
  restLeftS = null,
}: {
  readonly sentences: BenchSentences;
  readonly trial: TrialView | null;
  /** Null or left out: no rest is being waited for. */
  readonly restLeftS?: number | null;
}) {
  return (
    <div className={`next-step next-step-${tone}`}>
      <div aria-live={liveness[tone]} aria-atomic="true">
        {mark === null ? null : <p className="next-step-mark">{mark}</p>}
        <p className={`next-step-next${lengthClass(next)}`}>
          {tone === 'fault' || tone === 'caution' ? <StateShape shape={tone} /> : null}
          <span>
            <WordsTogether text={next} />
          </span>
        </p>
        {detail === null ? null : (
          <p className="next-step-detail">
            <WordsTogether text={detail} />
          </p>
        )}
      </div>
      {trial?.phase === 'run' ? (
        <TimeLeft onsetSlot={trial.onsetSlot} plannedS={trial.step.plannedS} />
      ) : null}
      {restLeftS === null ? null : <RestLeft restLeftS={restLeftS} />}
    </div>
  );
}

function RestLeft({ restLeftS }: { readonly restLeftS: number }) {
  const { digits, unit } = formatClock(restLeftS);
  return (
    <p className="next-step-time" role="timer" aria-label="Rest left" aria-live="off">
      {digits}
      <span className="next-step-time-unit">{unit} rest left</span>
    </p>
  );
}

/** On the sample clock, which is what closes the window of the run. */
function TimeLeft({ onsetSlot, plannedS }: { readonly onsetSlot: number; readonly plannedS: number }) {
  const reading = useLiveReading();
  const leftS = Math.max(plannedS - elapsedS(reading, onsetSlot), 0);
  const isLong = plannedS >= LONG_RUN_S;
  const { digits, unit } = isLong ? formatClock(leftS) : { digits: formatNumber(leftS, 1), unit: ' s' };
  return (
    <p className="next-step-time" role="timer" aria-label="Time left" aria-live="off">
      {digits}
      <span className="next-step-time-unit">{unit} left</span>
    </p>
  );
}

/** Seconds from onset to the newest sample, 0 before there is one. */
export function elapsedS(reading: LiveReading | null, onsetSlot: number): number {
  return reading === null ? 0 : Math.max((reading.endSlot - onsetSlot) / reading.sampleRateHz, 0);
}

function lengthClass({ length }: string): string {
  if (length > LONGEST_SENTENCE) return ' next-step-longest';
  return length > LONG_SENTENCE ? ' next-step-long' : '';
}
