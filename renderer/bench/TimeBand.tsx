import { useLiveReading } from '../live-curve/LiveFeedContext.tsx';
import { elapsedS } from './NextStep.tsx';
import './time-band.css';

export interface TimeBandProps {
  readonly onsetSlot: number;
  readonly plannedS: number;
  /** Where onset and the end of the run lie under the curve, in CSS pixels. */
  readonly leftPx: number;
  readonly widthPx: number;
}

/** The run's time as a band under the curve, from onset to its end. The digits say the same to screen readers. */
export function TimeBand({ onsetSlot, plannedS, leftPx, widthPx }: TimeBandProps) {
  const reading = useLiveReading();
  const share = Math.min(elapsedS(reading, onsetSlot) / plannedS, 1);
  return (
    <div className="time-band" style={{ marginInlineStart: leftPx, width: widthPx }} aria-hidden="true">
      <div className="time-band-passed" style={{ width: `${share * 100}%` }} />
    </div>
  );
}
