import {
  formatDuration,
  formatNumber,
  formatRate,
  formatTorqueInBothUnits,
  THIN_SPACE,
} from '../shared-lib/format-quantity.ts';
import { DEFINITION_VERSION } from '../shared-lib/trial/definition-version.ts';
import type { Measure, TrialFigures } from '../shared-lib/trial/trial-model.ts';
import type { MeasureChoice, MeasuredCurve } from './measure-curve-file.ts';

type Refused = { readonly refused: string };
type Plain = number | Refused;

/** All figures in full digits; a measure that the curve cannot carry is `{ "refused": reason }`. */
export function jsonOf(measured: MeasuredCurve, choice: MeasureChoice): string {
  const { evaluated, startS } = measured;
  const { figures } = evaluated;
  const refusal = refusalOfAll(measured);
  const report = {
    definitionVersion: DEFINITION_VERSION,
    direction: measured.direction,
    directionTaken: choice.direction === null ? 'larger excursion' : 'given',
    plannedS: measured.plannedS,
    plannedTaken: choice.plannedS === null ? 'whole record from onset' : 'given',
    sampleRateHz: figures.sampleRateHz,
    nominalRateHz: measured.nominalRateHz,
    windowS: figures.windowS,
    sampleCount: measured.sampleCount,
    lostSamples: measured.lostSamples,
    onsetLevelNm: choice.onsetNm ?? measured.onsetLevel?.levelNm ?? null,
    onsetLevelTaken: onsetLevelTaken(measured, choice),
    noiseNm: measured.onsetLevel?.noiseNm ?? null,
    onsetS: figures.onsetS === null ? refusal : startS + figures.onsetS,
    sustainedTorqueNm: plain(figures.sustainedTorqueNm),
    finalTorqueNm: plain(figures.finalTorqueNm),
    torqueAtNm: Object.fromEntries(
      figures.torqueAt.map(({ atS, torqueNm }) => [String(atS), plain(torqueNm)]),
    ),
    timeToLevelS: Object.fromEntries(
      figures.timeToLevel.map(({ levelNm, timeS }) => [String(levelNm), refusal ?? timeS]),
    ),
    timeTo90PercentS: plain(figures.timeTo90PercentS),
    stillClimbingPercentPerS: plain(figures.stillClimbingPercentPerS),
    levelledOffSinceS: figures.levelledOffSinceS,
    highestReadingNm: plain(figures.highestReadingNm),
    impulseNms: plain(figures.impulseNms),
    riseNmPerS: plain(figures.riseNmPerS),
    riseModel: figures.riseModel,
    blowRateHz: plain(figures.blowRateHz),
    triggerS: figures.triggerS ?? refusal,
    standardErrors: fromMeasures(figures, ({ standardError }) => standardError),
    intervals95: fromMeasures(figures, ({ interval }) => interval),
    quality: measured.quality,
  };
  return `${JSON.stringify(report, null, 2)}\n`;
}

/** The same for a person, both units of torque side by side. */
export function textOf(measured: MeasuredCurve, choice: MeasureChoice): string {
  const { figures } = measured.evaluated;
  const torque = (measure: Measure): string => inWords(measure, (value) => formatTorqueInBothUnits(value, 1));
  const { riseModel } = figures;
  const rows: [string, string][] = [
    [
      'sample rate',
      `${formatRate(figures.sampleRateHz, 1)}, ${measured.sampleCount} samples, ${measured.lostSamples} lost`,
    ],
    [
      'direction',
      `${measured.direction}${choice.direction === null ? ', the sign of the larger excursion' : ''}`,
    ],
    [
      'planned time',
      `${formatDuration(measured.plannedS, 2)}${choice.plannedS === null ? ', the whole record from onset' : ''}`,
    ],
    [
      'onset level',
      `${formatTorqueInBothUnits(figures.onsetLevelNm, 2)}, ${onsetLevelTaken(measured, choice)}`,
    ],
    [
      'onset',
      figures.onsetS === null
        ? (refusalOfAll(measured)?.refused ?? '')
        : `at ${formatNumber(measured.startS + figures.onsetS, 4)}${THIN_SPACE}s of the file`,
    ],
    ['sustained torque', torque(figures.sustainedTorqueNm)],
    ['final torque', torque(figures.finalTorqueNm)],
    ...figures.torqueAt.map(({ atS, torqueNm }): [string, string] => [
      `torque at ${atS}${THIN_SPACE}s`,
      torque(torqueNm),
    ]),
    ...figures.timeToLevel.map(({ levelNm, timeS }): [string, string] => [
      `time to ${formatNumber(levelNm, 1)}${THIN_SPACE}N·m`,
      refusalOfAll(measured)?.refused ?? (timeS === null ? 'not reached' : formatDuration(timeS, 3)),
    ]),
    ['time to 90 % of sustained', inWords(figures.timeTo90PercentS, (value) => formatDuration(value, 3))],
    ['still climbing', climbingInWords(figures)],
    [`highest reading at ${formatRate(figures.sampleRateHz)}`, torque(figures.highestReadingNm)],
    ['impulse', inWords(figures.impulseNms, (value) => `${formatNumber(value, 1)}${THIN_SPACE}N·m·s`)],
    ['rise', inWords(figures.riseNmPerS, (value) => `${formatNumber(value, 1)}${THIN_SPACE}N·m/s`)],
    [
      'rise model',
      'refused' in riseModel
        ? riseModel.refused
        : `towards ${formatTorqueInBothUnits(riseModel.torqueNm, 1)} with a time constant of ${formatDuration(riseModel.timeConstantS, 3)}`,
    ],
    ['blow rate', inWords(figures.blowRateHz, (value) => `${formatNumber(value, 2)}${THIN_SPACE}Hz`)],
    ['quality', qualityWord(measured.quality.verdict)],
  ];
  const width = Math.max(...rows.map(([name]) => name.length));
  return [
    ...rows.map(([name, value]) => `${name.padEnd(width)}  ${value}`),
    ...measured.quality.reasons.map(({ sentence }) => `  ${sentence}`),
    '',
    'Measures are positive in the direction of the pull. Rails, faults of the link and the state of the calibration are not in a curve.',
    '',
  ].join('\n');
}

function plain(measure: Measure): Plain {
  return 'refused' in measure ? measure : measure.value;
}

/** Null where there is a run. */
function refusalOfAll({ evaluated }: MeasuredCurve): Refused | null {
  const { sustainedTorqueNm } = evaluated.figures;
  return evaluated.run === null && 'refused' in sustainedTorqueNm ? sustainedTorqueNm : null;
}

function onsetLevelTaken({ onsetLevel }: MeasuredCurve, choice: MeasureChoice): string {
  if (choice.onsetNm !== null) return 'given';
  if (onsetLevel === null) return 'none, since the measuring curve never exceeds zero';
  const share = onsetLevel.isCapacityKnown
    ? '1 % of capacity'
    : "1 % of the curve's highest value, since no capacity was given";
  const { noiseNm, levelNm } = onsetLevel;
  if (noiseNm === null)
    return `${share}; noise unknown, since there is no rest before the torque to take it from`;
  return 5 * noiseNm >= levelNm ? 'five times the noise before the torque' : share;
}

type Measured = Extract<Measure, { value: number }>;

/** What some measures have and others do not, by their names. */
function fromMeasures<T>(
  figures: Pick<TrialFigures, 'finalTorqueNm' | 'stillClimbingPercentPerS'>,
  read: (measure: Measured) => T | undefined,
): Record<string, T> {
  const { finalTorqueNm, stillClimbingPercentPerS } = figures;
  return Object.fromEntries(
    Object.entries({ finalTorqueNm, stillClimbingPercentPerS }).flatMap(([name, measure]) => {
      const value = 'refused' in measure ? undefined : read(measure);
      return value === undefined ? [] : [[name, value]];
    }),
  );
}

function inWords(measure: Measure, format: (value: number) => string): string {
  if ('refused' in measure) return measure.refused;
  const { value, standardError } = measure;
  return standardError === undefined
    ? format(value)
    : `${format(value)}, standard error ${format(standardError)}`;
}

function climbingInWords({
  stillClimbingPercentPerS: climbing,
  levelledOffSinceS,
}: Pick<TrialFigures, 'stillClimbingPercentPerS' | 'levelledOffSinceS'>): string {
  if ('refused' in climbing) return climbing.refused;
  const percent = (value: number): string => formatNumber(value, 2);
  const interval =
    climbing.interval === undefined
      ? ''
      : ` (95 %: ${percent(climbing.interval.low)} to ${percent(climbing.interval.high)})`;
  const since =
    levelledOffSinceS === null
      ? ''
      : `; levelled off since ${formatDuration(levelledOffSinceS, 1)} after onset`;
  return `${percent(climbing.value)}${THIN_SPACE}%/s${interval}${since}`;
}

function qualityWord(verdict: MeasuredCurve['quality']['verdict']): string {
  switch (verdict) {
    case 'good':
      return 'good';
    case 'look':
      return 'look';
    case 'notUsable':
      return 'not usable';
  }
}
