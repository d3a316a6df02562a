import type { BenchStatus } from '../../shared-lib/bench-status.ts';
import { sourceMark } from '../frame/status-sentences.ts';
import { useLiveReading } from '../live-curve/LiveFeedContext.tsx';
import { StateShape } from '../ui/StateShape.tsx';
import { useTorqueDisplay } from '../ui/torque-display.ts';
import { figureOf } from './big-figure-words.ts';
import './big-figure.css';

/** The one figure that is read from three metres: the countdown, live torque, then the result. */
export function BigFigure({
  status,
  isReached,
  isHeldBack = false,
}: {
  readonly status: BenchStatus;
  /** False: no reading comes in, whatever the last status says. */
  readonly isReached: boolean;
  /** True: the result is not to be seen yet. */
  readonly isHeldBack?: boolean;
}) {
  const reading = useLiveReading();
  const display = useTorqueDisplay();
  const { digits, unit, caption, caution } = figureOf(
    status,
    isReached ? reading : null,
    display,
    isHeldBack,
  );
  const mark = sourceMark(status.amplifier.source);
  return (
    <div className="big-figure">
      <p className="big-figure-line">
        <span className="big-figure-digits" style={{ fontSize: `${digitScale(digits)}em` }}>
          {digits}
        </span>{' '}
        {unit === '' ? null : <span className="big-figure-unit">{unit}</span>}
      </p>
      <p className="big-figure-caption">
        {mark === null ? null : <span className="status-mark">{mark}</span>}
        {caution === null ? (
          caption
        ) : (
          <>
            <StateShape shape="caution" /> {caution}
          </>
        )}
      </p>
    </div>
  );
}

/** What the column holds at full size beside the unit: three figures and a little; widths in em of Inter. */
const COLUMN_EM = 2.1;

function digitScale(digits: string): number {
  const widthEm = Array.from(digits).reduce((sum, mark) => sum + (/[\d−–]/.test(mark) ? 0.62 : 0.26), 0);
  return Math.min(1, COLUMN_EM / widthEm);
}
