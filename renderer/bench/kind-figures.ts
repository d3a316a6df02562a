import {
  formatDuration,
  formatNumber,
  formatQuantity,
  THIN_SPACE,
} from '../../shared-lib/format-quantity.ts';
import type { Step } from '../../shared-lib/trial/step-model.ts';
import type { Measure, TrialFigures } from '../../shared-lib/trial/trial-model.ts';
import type { TorqueDisplay } from '../../shared-lib/torque-display.ts';

/** The one figure of a kept trial, or why the curve carries none. */
export interface MainFigure {
  readonly digits: string | null;
  readonly unit: string;
  readonly caption: string;
  readonly refused: string | null;
}

/** A figure of the result panel; `value` null: `note` says why there is none. */
export interface FigureRow {
  readonly name: string;
  readonly value: string | null;
  readonly note: string | null;
}

/** What a trial of a kind is about: torque for most, what was released for breakaway, how much was lost for endurance. */
export function mainFigure(
  { kind, direction }: Pick<Step, 'kind' | 'direction'>,
  figures: TrialFigures,
  display: TorqueDisplay,
): MainFigure {
  const torque = (measure: Measure, name: string): MainFigure =>
    'value' in measure
      ? {
          digits: display.formatNumber(measure.value),
          unit: display.unitLabel,
          caption: `${name}, ${direction}`,
          refused: null,
        }
      : noFigure(name, display.unitLabel, measure.refused);
  const { breakaway, endurance, stallTorqueNm } = figures;
  if (kind === 'stall' && stallTorqueNm !== null) return torque(stallTorqueNm, 'stall torque');
  if (kind === 'breakaway' && breakaway !== null) {
    if ('refused' in breakaway) return noFigure('breakaway', display.unitLabel, breakaway.refused);
    const { preloadNm, releasedAtS } = breakaway;
    return {
      digits: display.formatNumber(preloadNm),
      unit: display.unitLabel,
      caption: releasedAtS === null ? 'preload, not released' : `preload, ${releasedWords(releasedAtS)}`,
      refused: null,
    };
  }
  if (kind === 'endurance' && endurance !== null) {
    if ('refused' in endurance) return noFigure('fade', '%', endurance.refused);
    const { fadePercent, firstNm, lastNm } = endurance;
    return {
      digits: formatNumber(fadePercent, 1),
      unit: '%',
      caption: `fade, ${display.formatNumber(firstNm)} to ${display.format(lastNm)}`,
      refused: null,
    };
  }
  return torque(figures.sustainedTorqueNm, 'sustained torque');
}

/** What is to be read from three metres beside the one figure: a sentence or two, short ones. */
export function highlights(
  { kind }: Pick<Step, 'kind'>,
  figures: TrialFigures,
  display: TorqueDisplay,
): string[] {
  const { breakaway, endurance, levelledOffSinceS, stillClimbingPercentPerS } = figures;
  if (kind === 'breakaway' && breakaway !== null && 'preloadNm' in breakaway) {
    return [breakaway.releasedAtS === null ? 'Not released' : capital(releasedWords(breakaway.releasedAtS))];
  }
  if (kind === 'endurance' && endurance !== null && 'firstNm' in endurance) {
    return [
      endurance.under80PercentS === null
        ? `Never under 80${THIN_SPACE}% of its first torque`
        : `Under 80${THIN_SPACE}% after ${formatDuration(endurance.under80PercentS, 0)}`,
    ];
  }
  if (kind !== 'tighten') return [];
  const reached = figures.timeToLevel.filter(({ timeS }) => timeS !== null).at(-1);
  return [
    ...(levelledOffSinceS === null
      ? 'value' in stillClimbingPercentPerS && stillClimbingPercentPerS.value >= LEVELLED_OFF_PERCENT_PER_S
        ? [`Still climbing, ${percentPerS(stillClimbingPercentPerS.value)}`]
        : []
      : [`Levelled off after ${formatDuration(levelledOffSinceS, 1)}`]),
    ...(reached?.timeS == null
      ? []
      : [`${display.format(reached.levelNm)} after ${formatDuration(reached.timeS, 2)}`]),
  ];
}

export function measureRow(name: string, measure: Measure, format: (value: number) => string): FigureRow {
  return 'refused' in measure
    ? { name, value: null, note: measure.refused }
    : { name, value: format(measure.value), note: null };
}

/** Design: under 1 %/s it has levelled off. */
const LEVELLED_OFF_PERCENT_PER_S = 1;

/** The figures that only this kind has. */
export function kindRows(
  { kind }: Pick<Step, 'kind'>,
  { stallTorqueNm, breakaway, endurance }: TrialFigures,
  display: TorqueDisplay,
): FigureRow[] {
  const plain = (name: string, value: string): FigureRow => ({ name, value, note: null });
  if (kind === 'stall' && stallTorqueNm !== null) {
    return [measureRow('Stall torque', stallTorqueNm, display.format)];
  }
  if (kind === 'breakaway' && breakaway !== null) {
    if ('refused' in breakaway) return [{ name: 'Released', value: null, note: breakaway.refused }];
    const { preloadNm, releasedAtS } = breakaway;
    return [
      plain('Preload before the run', display.format(preloadNm)),
      plain('Released at', releasedAtS === null ? 'not released' : formatDuration(releasedAtS, 2)),
    ];
  }
  if (kind === 'endurance' && endurance !== null) {
    if ('refused' in endurance) return [{ name: 'Fade', value: null, note: endurance.refused }];
    const { firstNm, lastNm, fadePercent, fadePercentPerMin, under80PercentS, pulledS } = endurance;
    return [
      plain('First tenth', display.format(firstNm)),
      plain('Last tenth', display.format(lastNm)),
      plain('Fade', formatQuantity(fadePercent, 'percent', 1)),
      plain('Fade per minute', formatQuantity(fadePercentPerMin, 'percent', 2)),
      plain(
        `Under 80${THIN_SPACE}% after`,
        under80PercentS === null ? 'never' : formatDuration(under80PercentS, 1),
      ),
      plain('Pulled for', formatDuration(pulledS, 1)),
    ];
  }
  return [];
}

function noFigure(name: string, unit: string, refused: string): MainFigure {
  return { digits: null, unit, caption: name, refused };
}

function releasedWords(releasedAtS: number): string {
  return `released after ${formatDuration(releasedAtS, 2)}`;
}

export function percentPerS(value: number): string {
  return `${formatNumber(value, 1)}${THIN_SPACE}%/s`;
}

function capital(text: string): string {
  return text.charAt(0).toUpperCase() + text.slice(1);
}
