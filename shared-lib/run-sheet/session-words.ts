import { assertNever } from '../assert-never.ts';
import { formatNumber, formatQuantity, type UnitId } from '../format-quantity.ts';
import type {
  Exposure,
  QualityGate,
  SessionConditions,
  SessionReport,
  SessionSummary,
  SetupFigures,
} from './session-model.ts';
import type { TorqueDisplay } from '../torque-display.ts';
import { stepWords } from '../trial/words/pull-words.ts';

/** "40 trials: 37 kept, 2 voided, 1 interrupted" */
export function countWords({
  trialCount,
  keptCount,
  voidedCount,
  interruptedCount,
}: Pick<SessionSummary, 'trialCount' | 'keptCount' | 'voidedCount' | 'interruptedCount'>): string {
  const trials = trialCount === 1 ? '1 trial' : `${formatNumber(trialCount, 0)} trials`;
  const parts = [
    [keptCount, 'kept'],
    [voidedCount, 'voided'],
    [interruptedCount, 'interrupted'],
  ].flatMap(([count, word]) => (count === 0 ? [] : [`${count} ${word}`]));
  return parts.length === 0 ? trials : `${trials}: ${parts.join(', ')}`;
}

/** How long it lasted, in words that read on: "until 17:40", or that it is not over. */
export function spanWords(
  { startedAt, endedAt }: Pick<SessionSummary, 'startedAt' | 'endedAt'>,
  format: (instant: string) => string,
): string {
  return endedAt === null
    ? `${format(startedAt)}, no end stored`
    : `${format(startedAt)} to ${format(endedAt)}`;
}

export const gateNames: Readonly<Record<QualityGate, string>> = {
  goodOnly: 'Good ones only',
  goodAndLook: 'Good ones and those that need a look',
  allKept: 'All that were kept',
};

/** Below the statistics, so that nobody has to guess what they rest on. */
export function gateSentence(gate: QualityGate): string {
  switch (gate) {
    case 'goodOnly':
      return 'Statistics take in the kept trials of good quality; those that need a look or are not usable are counted as left out.';
    case 'goodAndLook':
      return 'Statistics take in the kept trials of good quality and those that need a look; those that are not usable are counted as left out.';
    case 'allKept':
      return 'Statistics take in every kept trial, whatever its quality.';
    default:
      return assertNever(gate, 'This quality gate has no words');
  }
}

export interface SetupRow {
  readonly label: string;
  readonly step: string;
  readonly count: string;
  readonly leftOut: string;
  readonly conditioning: string;
  readonly voided: string;
  readonly mean: string;
  readonly deviation: string;
  readonly interval: string;
  /** What is to be known of it, such as repeats in one block; empty where nothing is. */
  readonly remark: string;
}

/** One row of the statistics as text, torque without its unit, which stands in the head. */
export function setupRow(
  figures: SetupFigures,
  torque: Pick<TorqueDisplay, 'formatNumber' | 'decimals'>,
  formatScatter: (torqueNm: number) => string,
): SetupRow {
  const { count, meanNm, standardDeviationNm, lowNm, highNm, isOneBlock } = figures;
  const isBreakaway = figures.step.kind === 'breakaway';
  return {
    label: figures.label,
    step: stepWords(figures.step),
    count: String(count),
    leftOut: String(figures.leftOutCount),
    conditioning: String(figures.conditioningCount),
    voided: String(figures.voidedCount),
    mean: meanNm === null ? '–' : torque.formatNumber(meanNm),
    deviation: standardDeviationNm === null ? '–' : formatScatter(standardDeviationNm),
    interval:
      lowNm === null || highNm === null
        ? '–'
        : `${torque.formatNumber(lowNm)} to ${torque.formatNumber(highNm)}`,
    remark: [
      isBreakaway ? 'Breakaway: released or not is its result, so there is no mean.' : '',
      !isBreakaway && count === 1 ? 'One trial alone has no scatter.' : '',
      isOneBlock && count > 1
        ? 'All in one unbroken row: not independent of each other, the interval is too narrow.'
        : '',
    ]
      .filter((remark) => remark !== '')
      .join(' '),
  };
}

export function safetyWords(
  { safetyConfirmedAt, summary }: Pick<SessionReport, 'safetyConfirmedAt' | 'summary'>,
  format: (instant: string) => string,
): string {
  if (safetyConfirmedAt !== null) return `confirmed ${format(safetyConfirmedAt)}`;
  return summary.isSimulated ? 'not asked for on the simulated bench' : 'not confirmed';
}

/** What is around the bench, in the words of the session's page. */
export function ambientRows({
  ambientC,
  relativeHumidityPercent,
  airPressureHpa,
}: Pick<SessionConditions, 'ambientC' | 'relativeHumidityPercent' | 'airPressureHpa'>): {
  readonly name: string;
  readonly value: string;
}[] {
  const shown = (value: number | null, unit: UnitId): string =>
    value === null ? 'not noted' : formatQuantity(value, unit, Number.isInteger(value) ? 0 : 1);
  return [
    { name: 'Air temperature', value: shown(ambientC, 'degC') },
    { name: 'Relative humidity', value: shown(relativeHumidityPercent, 'percent') },
    { name: 'Air pressure', value: shown(airPressureHpa, 'hPa') },
  ];
}

/** Where there is no slope to tell of. */
export const ZERO_DRIFT_UNKNOWN = 'Too few trials to tell whether the zero drifted.';
export const REFERENCE_DRIFT_UNKNOWN =
  'No reference tool was pulled often enough, so a drift of tool, rig or bench over the day would not show.';

export const exposureStateNames: Readonly<Record<Exposure['state'], string>> = {
  below: 'Below the action value, as far as it is known',
  actionReached: 'Action value reached',
  limitReached: 'Limit value reached',
};

export const EXPOSURE_POINTS =
  'Points = 2 a² t, a the declared vibration in m/s², t in hours: action value 100 points, limit value 400 points a day (Directive 2002/44/EC).';
