import { formatDuration, formatNumber, formatQuantity } from '../format-quantity.ts';
import type { TorqueDisplay } from '../torque-display.ts';
import type { Step } from '../trial/step-model.ts';
import type { Measure, TrialFigures } from '../trial/trial-model.ts';

/** A figure in large type with a few words under it. */
export interface OverlayFigure {
  readonly label: string;
  readonly text: string;
}

/** Stands where the curve carries no figure. */
const NO_FIGURE = '–';

/** What a kept trial came to: the one figure of its kind first, then how soon, where that says something. */
export function resultFigures(
  { kind }: Pick<Step, 'kind'>,
  figures: TrialFigures,
  display: TorqueDisplay,
): OverlayFigure[] {
  const { breakaway, endurance, stallTorqueNm } = figures;
  const torque = (label: string, measure: Measure): OverlayFigure => ({
    label,
    text: 'value' in measure ? display.format(measure.value) : NO_FIGURE,
  });
  if (kind === 'stall' && stallTorqueNm !== null) return [torque('stall torque', stallTorqueNm)];
  if (kind === 'breakaway' && breakaway !== null) {
    if ('refused' in breakaway) return [{ label: 'breakaway', text: NO_FIGURE }];
    const { preloadNm, releasedAtS } = breakaway;
    return [
      { label: 'preload', text: display.format(preloadNm) },
      releasedAtS === null
        ? { label: 'not released', text: NO_FIGURE }
        : { label: 'released after', text: formatDuration(releasedAtS, 2) },
    ];
  }
  if (kind === 'endurance' && endurance !== null) {
    if ('refused' in endurance) return [{ label: 'fade', text: NO_FIGURE }];
    return [
      { label: 'fade', text: formatQuantity(endurance.fadePercent, 'percent', 1) },
      {
        label: 'from first to last tenth',
        text: `${display.formatNumber(endurance.firstNm)} to ${display.format(endurance.lastNm)}`,
      },
    ];
  }
  const reached = figures.timeToLevel.filter(({ timeS }) => timeS !== null).at(-1);
  return [
    torque('sustained torque', figures.sustainedTorqueNm),
    ...(reached?.timeS == null
      ? []
      : [{ label: `to ${display.format(reached.levelNm)}`, text: formatDuration(reached.timeS, 2) }]),
  ];
}

/** The torque of the moment. */
export function liveFigure(
  {
    quantity,
    latestMean,
    isOutsideCalibratedRange,
  }: {
    readonly quantity: 'torqueNm' | 'counts';
    readonly latestMean: number | null;
    readonly isOutsideCalibratedRange: boolean;
  },
  display: TorqueDisplay,
): OverlayFigure {
  if (latestMean === null) return { label: 'no reading', text: NO_FIGURE };
  if (quantity === 'counts') return { label: 'counts, not calibrated', text: formatNumber(latestMean, 0) };
  return {
    label: isOutsideCalibratedRange ? 'outside the calibrated range' : 'torque now',
    text: display.format(latestMean),
  };
}
