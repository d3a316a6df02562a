import type { BenchStatus } from '../../shared-lib/bench-status.ts';
import { formatNumber } from '../../shared-lib/format-quantity.ts';
import type { LiveReading } from '../live-curve/live-feed.ts';
import type { TorqueDisplay } from '../../shared-lib/torque-display.ts';
import { mainFigure } from './kind-figures.ts';

/** Stands where there is no number. */
const NO_FIGURE = '–';

export interface Figure {
  readonly digits: string;
  readonly unit: string;
  readonly caption: string;
  readonly caution: string | null;
}

/**
 * The countdown, live torque, then the result; a result only of a kept trial. `reading` null: nothing comes in. `isHeldBack`: what
 * the tool came to is not to be seen yet.
 */
export function figureOf(
  status: BenchStatus,
  reading: LiveReading | null,
  display: TorqueDisplay,
  isHeldBack = false,
): Figure {
  const { trial } = status;
  if (trial.phase === 'countdown' && reading !== null) {
    const caption = trial.secondsLeft === 1 ? 'second to the go' : 'seconds to the go';
    return { digits: String(trial.secondsLeft), unit: '', caption, caution: null };
  }
  if (trial.phase === 'kept' && isHeldBack) {
    return { digits: NO_FIGURE, unit: '', caption: 'shown after the rating', caution: null };
  }
  if (trial.phase === 'kept') {
    const { digits, unit, caption, refused } = mainFigure(trial.step, trial.figures, display);
    return {
      digits: digits ?? NO_FIGURE,
      unit,
      caption: trial.isVoided && digits !== null ? 'voided, not counted' : caption,
      caution: refused,
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
