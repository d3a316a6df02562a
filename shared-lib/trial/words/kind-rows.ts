import { THIN_SPACE } from '../../format-quantity.ts';
import type { Breakaway, Endurance, TrialFigures } from '../trial-model.ts';
import { type FigureRow, measureRow, type RowWords, textRow, valueRow } from './figure-row.ts';
import type { ShownQuantities } from './shown-quantity.ts';

const named = (name: string, hint: string | null): RowWords => ({ group: 'Result', name, hint });

/** What a trial of its kind is about; nothing for the kind tighten, whose result is the sustained torque. */
export function kindRows(
  { stallTorqueNm, breakaway, endurance }: TrialFigures,
  shown: ShownQuantities,
): FigureRow[] {
  return [
    ...(stallTorqueNm === null
      ? []
      : [
          measureRow(
            named('Stall torque', 'The highest value of the measuring curve.'),
            stallTorqueNm,
            shown.torque,
          ),
        ]),
    ...(breakaway === null ? [] : breakawayRows(breakaway, shown)),
    ...(endurance === null ? [] : enduranceRows(endurance, shown)),
  ];
}

function breakawayRows(breakaway: Breakaway, { torque, seconds }: ShownQuantities): FigureRow[] {
  const words = named(
    'Released after',
    'From onset until the stored preload was gone for good; released means that the tool gave at least the preload.',
  );
  if ('refused' in breakaway) return [measureRow(words, breakaway, seconds)];
  const { preloadNm, releasedAtS } = breakaway;
  return [
    releasedAtS === null
      ? textRow(
          named('Released', 'The stored preload still stood at the end of the planned time.'),
          'not released',
        )
      : valueRow(words, releasedAtS, seconds),
    valueRow(named('Preload before onset', 'The torque that stood against the step.'), preloadNm, torque),
  ];
}

function enduranceRows(endurance: Endurance, shown: ShownQuantities): FigureRow[] {
  const words = named('Fade', 'From the first to the last tenth of the time in which the tool pulled.');
  if ('refused' in endurance) return [measureRow(words, endurance, shown.percent)];
  const { firstNm, lastNm, fadePercent, fadePercentPerMin, under80PercentS, pulledS } = endurance;
  const underName = `Under 80${THIN_SPACE}% of the first for good`;
  return [
    valueRow(words, fadePercent, shown.percent),
    valueRow(
      named('Fade per minute', 'Slope (median of all pairs) in % of the first.'),
      fadePercentPerMin,
      shown.percentPerMin,
    ),
    valueRow(
      named('Sustained in the first tenth', 'Sustained torque within that tenth.'),
      firstNm,
      shown.torque,
    ),
    valueRow(named('Sustained in the last tenth', null), lastNm, shown.torque),
    under80PercentS === null
      ? textRow(named(underName, null), 'it did not fall so far')
      : valueRow(named(underName, 'From onset.'), under80PercentS, shown.seconds),
    valueRow(named('Pulled for', null), pulledS, shown.seconds),
  ];
}
