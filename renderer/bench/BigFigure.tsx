import type { BenchStatus } from '../../shared-lib/bench-status.ts';
import { sourceMark } from '../frame/status-sentences.ts';
import { formatNumber } from '../../shared-lib/format-quantity.ts';
import { useLiveReading } from '../live-curve/LiveFeedContext.tsx';
import type { LiveReading } from '../live-curve/live-feed.ts';
import { StateShape } from '../ui/StateShape.tsx';
import { type TorqueDisplay, useTorqueDisplay } from '../ui/torque-display.ts';
import './big-figure.css';

/** Stands where there is no number. */
const NO_FIGURE = '–';

interface Figure {
  readonly digits: string;
  readonly unit: string;
  readonly caption: string;
  readonly caution: string | null;
}

/** The one figure that is read from three metres: the countdown, live torque, then the result. */
export function BigFigure({
  status,
  isReached,
}: {
  readonly status: BenchStatus;
  /** False: no reading comes in, whatever the last status says. */
  readonly isReached: boolean;
}) {
  const reading = useLiveReading();
  const display = useTorqueDisplay();
  const { digits, unit, caption, caution } = figureOf(status, isReached ? reading : null, display);
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

function figureOf(status: BenchStatus, reading: LiveReading | null, display: TorqueDisplay): Figure {
  const { trial } = status;
  if (trial.phase === 'countdown' && reading !== null) {
    const caption = trial.secondsLeft === 1 ? 'second to the go' : 'seconds to the go';
    return { digits: String(trial.secondsLeft), unit: '', caption, caution: null };
  }
  if (trial.phase === 'kept') {
    const sustained = trial.figures.sustainedTorqueNm;
    return 'value' in sustained
      ? {
          digits: display.formatNumber(sustained.value),
          unit: display.unitLabel,
          caption: trial.isVoided ? 'voided, not counted' : `sustained torque, ${trial.step.direction}`,
          caution: null,
        }
      : {
          digits: NO_FIGURE,
          unit: display.unitLabel,
          caption: 'sustained torque',
          caution: sustained.refused,
        };
  }
  return liveFigure(status, reading, display);
}

function liveFigure(status: BenchStatus, reading: LiveReading | null, display: TorqueDisplay): Figure {
  const isCounts = reading === null ? status.calibration === null : reading.quantity === 'counts';
  const unit = isCounts ? 'counts' : display.unitLabel;
  const mean = reading?.mean ?? null;
  if (status.amplifier.link !== 'connected' || mean === null) {
    return { digits: NO_FIGURE, unit, caption: 'no reading', caution: null };
  }
  return {
    digits: isCounts ? formatNumber(mean, 0) : display.formatNumber(mean),
    unit,
    caption: isCounts ? 'now, not calibrated' : 'torque now',
    caution: reading?.isOutsideCalibratedRange ? 'outside the calibrated range' : null,
  };
}
