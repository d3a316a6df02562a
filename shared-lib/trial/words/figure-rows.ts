import { formatNumber, formatRate, THIN_SPACE } from '../../format-quantity.ts';
import type { Measure, RiseModel, TrialFigures } from '../trial-model.ts';
import { levelWords } from '../../level-words.ts';
import { kindRows } from './kind-rows.ts';
import {
  type FigureGroup,
  type FigureRow,
  measureRow,
  type RowWords,
  textRow,
  valueRow,
} from './figure-row.ts';
import { type ShownQuantities, shownQuantities, type TorqueUnitDisplay } from './shown-quantity.ts';

/** All figures in the order in which they are read, each with its definition in a sentence. */
export function figureRows(figures: TrialFigures, torque: TorqueUnitDisplay): FigureRow[] {
  const shown = shownQuantities(torque);
  return [
    ...kindRows(figures, shown),
    ...resultRows(figures, shown),
    ...overTimeRows(figures, shown, torque),
    ...studyRows(figures, shown),
    ...basisRows(figures, shown),
  ];
}

/** The same rows under their headings, in the same order. */
export function figureGroups(
  rows: readonly FigureRow[],
): { readonly group: FigureGroup; readonly rows: readonly FigureRow[] }[] {
  const groups: FigureGroup[] = [...new Set(rows.map(({ group }) => group))];
  return groups.map((group) => ({ group, rows: rows.filter((row) => row.group === group) }));
}

function resultRows(figures: TrialFigures, { torque }: ShownQuantities): FigureRow[] {
  const window = `${formatNumber(figures.windowS * 1000, 0)}${THIN_SPACE}ms`;
  return [
    measureRow(
      {
        group: 'Result',
        name: 'Sustained torque',
        hint: `The highest level that the measuring curve (centred mean over ${window}) held for 250${THIN_SPACE}ms.`,
      },
      figures.sustainedTorqueNm,
      torque,
    ),
    measureRow(
      {
        group: 'Result',
        name: 'Final torque',
        hint: `Mean of the raw samples in the last 0.5${THIN_SPACE}s of the planned time.`,
      },
      figures.finalTorqueNm,
      torque,
    ),
  ];
}

function overTimeRows(
  figures: TrialFigures,
  { torque, seconds, percentPerS }: ShownQuantities,
  { unit }: TorqueUnitDisplay,
): FigureRow[] {
  const named = (name: string, hint: string | null): RowWords => ({ group: 'Over time', name, hint });
  const { levelledOffSinceS, stillClimbingPercentPerS } = figures;
  return [
    ...figures.torqueAt.map(({ atS, torqueNm }, index) =>
      measureRow(
        named(
          `Torque at ${formatNumber(atS, 0)}${THIN_SPACE}s`,
          index === 0 ? 'The measuring curve at this time after onset.' : null,
        ),
        torqueNm,
        torque,
      ),
    ),
    measureRow(
      named(
        `Time to 90${THIN_SPACE}% of sustained`,
        'First time the measuring curve reaches it and holds it.',
      ),
      figures.timeTo90PercentS,
      seconds,
    ),
    ...figures.timeToLevel.map(({ levelNm, timeS }) => {
      const words = named(`Time to ${levelWords(levelNm, unit)}`, null);
      return timeS === null ? textRow(words, 'not reached') : valueRow(words, timeS, seconds);
    }),
    measureRow(
      named('Still climbing', climbingHint(stillClimbingPercentPerS)),
      stillClimbingPercentPerS,
      percentPerS,
    ),
    ...('refused' in stillClimbingPercentPerS
      ? []
      : [
          levelledOffSinceS === null
            ? textRow(named('Levelled off', null), 'no')
            : valueRow(named('Levelled off since', null), levelledOffSinceS, seconds),
        ]),
  ];
}

function climbingHint(measure: Measure): string {
  const definition = `Slope of the measuring curve over the last 2${THIN_SPACE}s (median of all pairs), in % of the sustained torque; within 1${THIN_SPACE}%/s of none it has levelled off.`;
  return 'value' in measure && measure.value <= -1
    ? `${definition} Below zero: the torque was falling.`
    : definition;
}

function studyRows(figures: TrialFigures, shown: ShownQuantities): FigureRow[] {
  const named = (name: string, hint: string): RowWords => ({ group: 'For study only', name, hint });
  return [
    measureRow(
      named(
        `Highest reading at ${formatRate(figures.sampleRateHz)}`,
        'The largest raw sample. It depends on the sample rate, the filter and the rig, so it is compared with nothing.',
      ),
      figures.highestReadingNm,
      shown.torque,
    ),
    measureRow(
      named(
        'Impulse',
        'Integral of the raw curve from onset to the planned time; a longer pull has more of it.',
      ),
      figures.impulseNms,
      shown.impulse,
    ),
    measureRow(
      named(
        'Rise',
        `Slope of the measuring curve over the first 500${THIN_SPACE}ms after onset (median of all pairs).`,
      ),
      figures.riseNmPerS,
      shown.rise,
    ),
    ...riseModelRows(figures.riseModel, named, shown),
    measureRow(
      named(
        'Blow rate',
        `The highest line of the spectrum of the last 2${THIN_SPACE}s between 10 and 80${THIN_SPACE}Hz.`,
      ),
      figures.blowRateHz,
      shown.hertz,
    ),
  ];
}

function riseModelRows(
  model: RiseModel,
  named: (name: string, hint: string) => RowWords,
  { torque, seconds }: ShownQuantities,
): FigureRow[] {
  const hint =
    'T(t) = T∞ (1 − exp(−t/τ)), fitted to the measuring curve from onset. The standard error decides whether the model holds; how far runs differ it does not say.';
  if ('refused' in model) return [measureRow(named('Rise model', hint), model, torque)];
  return [
    measureRow(
      named('Rise model, T∞', hint),
      { value: model.torqueNm, standardError: model.torqueStandardErrorNm },
      torque,
    ),
    valueRow(named('Rise model, τ', 'The time constant of the same fit.'), model.timeConstantS, seconds),
  ];
}

function basisRows(figures: TrialFigures, { torque, seconds }: ShownQuantities): FigureRow[] {
  const { onsetS, onsetLevelNm, triggerS } = figures;
  return [
    valueRow(
      {
        group: 'What they rest on',
        name: 'Onset level',
        hint:
          onsetS === null
            ? 'No onset was found: the measuring curve never exceeded this level and held it.'
            : `All times count from onset, ${seconds.format(onsetS)} into the record: where the measuring curve exceeds this level and holds it.`,
      },
      onsetLevelNm,
      torque,
    ),
    ...(triggerS === null
      ? []
      : [
          valueRow(
            {
              group: 'What they rest on',
              name: 'Trigger time',
              hint: 'How long the tool pulled within the planned time; it adds to the vibration exposure of the day.',
            },
            triggerS,
            seconds,
          ),
        ]),
  ];
}
