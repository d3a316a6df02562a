import { formatDuration, formatNumber, formatRate, THIN_SPACE } from '../../shared-lib/format-quantity.ts';
import type { Measure, TrialFigures } from '../../shared-lib/trial/trial-model.ts';
import { levelWords } from '../ui/level-words.ts';
import type { TorqueDisplay } from '../ui/torque-display.ts';

export interface FigureRow {
  readonly name: string;
  /** The value, or "not reached", or "no figure" with the reason in the hint. */
  readonly value: string;
  /** The definition; null where the row above has said it. */
  readonly hint: string | null;
  readonly isRefused: boolean;
}

/** All figures in the order in which they are read, each with its definition in a sentence. */
export function figureRows(
  figures: TrialFigures,
  { format: formatTorque, unit }: Pick<TorqueDisplay, 'format' | 'unit'>,
): FigureRow[] {
  const seconds = (timeS: number) => formatDuration(timeS, 2);
  const window = `${formatNumber(figures.windowS * 1000, 0)}${THIN_SPACE}ms`;
  return [
    measureRow(
      'Sustained torque',
      figures.sustainedTorqueNm,
      formatTorque,
      `The highest level that the measuring curve (centred mean over ${window}) held for 250${THIN_SPACE}ms.`,
    ),
    measureRow(
      'Final torque',
      figures.finalTorqueNm,
      formatTorque,
      `Mean of the raw samples in the last 0.5${THIN_SPACE}s of the planned time.`,
    ),
    ...figures.torqueAt.map(({ atS, torqueNm }, index) =>
      measureRow(
        `Torque at ${formatNumber(atS, 0)}${THIN_SPACE}s`,
        torqueNm,
        formatTorque,
        index === 0 ? 'The measuring curve at this time after onset.' : null,
      ),
    ),
    measureRow(
      `Time to 90${THIN_SPACE}% of sustained`,
      figures.timeTo90PercentS,
      seconds,
      'First time the measuring curve reaches it and holds it.',
    ),
    ...figures.timeToLevel.map(({ levelNm, timeS }) => ({
      name: `Time to ${levelWords(levelNm, unit)}`,
      value: timeS === null ? 'not reached' : seconds(timeS),
      hint: null,
      isRefused: false,
    })),
    measureRow(
      `Highest reading at ${formatRate(figures.sampleRateHz)}`,
      figures.highestReadingNm,
      formatTorque,
      'The largest raw sample. It depends on the sample rate, the filter and the rig, so it is compared with nothing.',
    ),
    {
      name: 'Onset level',
      value: formatTorque(figures.onsetLevelNm),
      hint:
        figures.onsetS === null
          ? 'No onset was found: the measuring curve never exceeded this level and held it.'
          : `All times count from onset, ${seconds(figures.onsetS)} into the record: where the measuring curve exceeds this level and holds it.`,
      isRefused: false,
    },
  ];
}

function measureRow(
  name: string,
  measure: Measure,
  format: (value: number) => string,
  definition: string | null,
): FigureRow {
  return 'value' in measure
    ? { name, value: format(measure.value), hint: definition, isRefused: false }
    : { name, value: 'no figure', hint: measure.refused, isRefused: true };
}
