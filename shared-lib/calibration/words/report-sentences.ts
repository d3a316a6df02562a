import type { RequestResult } from '../../api-contract.ts';
import type { CalibrationInput, CalibrationVersion } from '../calibration-model.ts';
import type { CalibrationResult } from '../result-model.ts';
import type {
  CalibrationRun,
  PlannedReading,
  RunSeries,
  RunSetup,
  RunWay,
  TakenReading,
} from '../run-model.ts';
import { formatNumber, formatQuantity, THIN_SPACE } from '../../format-quantity.ts';
import { formatSignificant } from '../../format-significant.ts';
import { methodWords, uncertaintyWords } from './calibration-sentences.ts';
import { FROM_MEMORY } from './result-sentences.ts';

export type Report = RequestResult<'getCalibrationReport'>;

export interface ReportRow {
  readonly name: string;
  readonly value: string;
}

export const wayWords: Readonly<Record<RunWay, string>> = {
  weightsOnArm: 'weights on an arm',
  loadCell: 'weights on the load cell, times the length of the reaction arm',
  oneWeight: 'one weight at two arm lengths',
};

export const seriesWords: Readonly<Record<RunSeries, string>> = {
  full: 'three mountings: two increasing series in the first, one increasing and one decreasing in each further one',
  notRemountable: 'one mounting: increasing, increasing, decreasing; no reproducibility, so no class',
  quick: 'one increasing and one decreasing series; no repeatability',
  twoArmLengths: 'loaded and unloaded three times, mounted anew, then the same weight at a second arm length',
};

export const stageWords: Readonly<Record<PlannedReading['stage'], string>> = {
  warmUp: 'warm-up',
  exercise: 'exercise',
  zeroBefore: 'zero before',
  increasing: 'increasing',
  decreasing: 'decreasing',
  zeroAfter: 'zero after',
  creep30: `creep, 30${THIN_SPACE}s`,
  creep300: `creep, 300${THIN_SPACE}s`,
  bending: 'bending',
};

/** The head of a report that no run stands behind: what was entered, and what that is worth. */
export function enteredSummary(version: CalibrationVersion): string[] {
  const { method, enteredUncertaintyPercent } = version;
  const senses = [
    version.forward === null ? null : 'forward',
    version.reverse === null ? null : 'reverse',
  ].filter((sense) => sense !== null);
  return [
    `This calibration was entered, from ${methodWords(method)}; it covers ${senses.join(' and ')}.`,
    enteredUncertaintyPercent === null
      ? 'No uncertainty was stated with it, so none can be stated for a torque that it gives.'
      : `Its uncertainty, ${uncertaintyWords(enteredUncertaintyPercent)}, is what was typed; the program has not found it.`,
    'One reading at one load tells neither repeatability nor linearity; a guided calibration does.',
  ];
}

/** What was typed for it, in the order of the form. */
export function enteredRows(input: CalibrationInput): ReportRow[] {
  const counts = (value: number | null) =>
    value === null ? 'not read' : `${formatNumber(value, 0)}${THIN_SPACE}counts`;
  switch (input.method) {
    case 'direct':
      return [
        { name: 'Counts without load', value: counts(input.zeroCounts) },
        ...(['forward', 'reverse'] as const).map((sense) => {
          const point = input[sense];
          return {
            name: `Known torque, ${sense}`,
            value:
              point === null
                ? 'none'
                : `${formatSignificant(point.torqueNm, 'Nm')} (${formatSignificant(point.torqueNm, 'ftLbf')}) at ${counts(point.counts)}`,
          };
        }),
      ];
    case 'oneWeight':
      return [
        {
          name: 'Weight',
          value: `${formatSignificant(input.massKg, 'kg')}, ${formatSignificant(input.materialDensityKgM3, 'kgPerM3')}`,
        },
        {
          name: 'Arm',
          value: `${formatSignificant(input.armLengthM, 'm')}, at ${formatSignificant(input.armAngleDeg, 'deg')}`,
        },
        { name: 'Gravity', value: gravityWords(input.gravity) },
        { name: 'Air', value: formatSignificant(input.airDensityKgM3, 'kgPerM3') },
        { name: 'Counts with the bare arm', value: counts(input.zeroCounts) },
        { name: 'Counts with the weight, forward', value: counts(input.forwardCounts) },
        { name: 'Counts with the weight, reverse', value: counts(input.reverseCounts) },
      ];
    case 'ratedOutput':
      return [
        {
          name: 'Rated output',
          value: `${formatNumber(input.ratedOutputMvPerV, 4)}${THIN_SPACE}mV/V at ${formatSignificant(input.capacityNm, 'Nm')}`,
        },
        {
          name: 'Scale of the amplifier',
          value:
            input.scale.kind === 'stated'
              ? `${formatNumber(input.scale.countsPerMvPerV, 1)}${THIN_SPACE}counts per mV/V, as stated`
              : `shunt of ${formatNumber(input.scale.shuntOhm, 0)}${THIN_SPACE}Ω across ${formatNumber(input.scale.bridgeOhm, 1)}${THIN_SPACE}Ω, read as ${counts(input.scale.shuntCounts)}`,
        },
        { name: 'Counts without load', value: counts(input.zeroCounts) },
        {
          name: 'A clockwise load',
          value: input.countsSign === 1 ? 'raises the counts' : 'lowers the counts',
        },
      ];
  }
}

function gravityWords(gravity: RunSetup['site']['gravity']): string {
  return gravity.source === 'entered'
    ? `${formatQuantity(gravity.gravityMps2, 'mPerS2', 5)} as entered`
    : `from latitude ${formatSignificant(gravity.latitudeDeg, 'deg')} and height ${formatSignificant(gravity.heightM, 'm')}`;
}

/** How the run was done. */
export function procedureRows(setup: RunSetup): ReportRow[] {
  const { checks, exercises, dwellS, senses, levels } = setup;
  const extra = [
    checks.creep ? 'creep' : null,
    checks.bending ? 'bending' : null,
    checks.warmUp ? 'warm-up' : null,
  ]
    .filter((check) => check !== null)
    .join(', ');
  return [
    { name: 'Way', value: wayWords[setup.way] },
    { name: 'Series', value: seriesWords[setup.series] },
    { name: 'Senses', value: senses.join(', then ') },
    { name: 'Levels', value: String(levels.length) },
    {
      name: 'Loads to the maximum before the first series',
      value: exercises === 0 ? 'none' : String(exercises),
    },
    { name: 'A reading is the mean of', value: `${formatSignificant(dwellS, 's')} at rest` },
    { name: 'Also checked', value: extra === '' ? 'nothing more' : extra },
  ];
}

/** What was reckoned with for a trial some time after the calibration. */
export function benchTermRows({ benchTerms }: RunSetup): ReportRow[] {
  const percent = (value: number | null, text: string) =>
    value === null ? 'not known, so not counted' : `${formatSignificant(value, 'percent')}${text}`;
  return [
    {
      name: 'Bench within',
      value:
        benchTerms.temperatureSpanK === null
          ? 'not known, so not counted'
          : `±${formatNumber(benchTerms.temperatureSpanK, 1)}${THIN_SPACE}K of the temperature of the calibration`,
    },
    { name: 'Temperature on the span', value: percent(benchTerms.spanPercentPerK, ' per K') },
    {
      name: 'Temperature on the zero',
      value: percent(benchTerms.zeroPercentOfCapacityPerK, ' of capacity per K'),
    },
    { name: 'Drift until it ends', value: percent(benchTerms.driftPercent, ', as a limit') },
  ];
}

/** Rules of which no copy was at hand, named once more at the end, as each stands beside its figure. */
export function fromMemoryRules(result: CalibrationResult): string[] {
  const classes = result.senses.some(({ classification }) => classification.reason.isFromMemory);
  const limits = result.senses.some(({ lowerLimit }) => lowerLimit.reason.isFromMemory);
  return [
    ...(classes ? [`Class limits. ${FROM_MEMORY}`] : []),
    ...(limits ? [`Lower limit factor and its conditions. ${FROM_MEMORY}`] : []),
  ];
}

export const reportCautions: readonly string[] = [
  'Static calibration; dynamic error not included. Under blows a reading also depends on the bandwidth, the sample rate and the rig, and that error does not cancel between tools whose blows have another shape.',
  'It holds for the whole chain as it was: transducer, cable, amplifier and its settings. After an overload, a repair, or a change of any of them, calibrate anew.',
  'Outside the calibrated range a reading is shown with a mark; it rests on nothing that was measured here.',
  'An aid to honest measurement, no accredited certificate. For work where people or property depend on a torque, local rules, the makers’ manuals and a competent person decide.',
];

/** What is to be known of a reading beside its figures. */
export function readingRemarks({ by, flags }: TakenReading, isReplaced: boolean): string {
  return [
    ...(isReplaced ? ['Replaced by a redo.'] : []),
    ...(by === 'key' ? ['Taken by key.'] : []),
    ...flags.map(({ sentence }) => sentence),
  ].join(' ');
}

/** Every reading as it was taken, those too that a redo replaced, in the order in which they were asked for. */
export function readingsInOrder({ taken, replaced }: Pick<CalibrationRun, 'taken' | 'replaced'>): {
  readonly reading: TakenReading;
  readonly isReplaced: boolean;
}[] {
  return [
    ...taken.map((reading) => ({ reading, isReplaced: false })),
    ...replaced.map((reading) => ({ reading, isReplaced: true })),
  ].sort((a, b) => a.reading.index - b.reading.index || a.reading.id - b.reading.id);
}

export function readingsCaption({ taken, replaced }: Pick<CalibrationRun, 'taken' | 'replaced'>): string {
  const redone = replaced.length === 0 ? '' : `, ${replaced.length} replaced by a redo`;
  return `${taken.length} readings${redone}. Deviation: of the means of tenths of a reading.`;
}

/** The amplifier of a calibration; `name` null: it is not in the list any more. */
export function amplifierWords(
  { amplifierId }: Pick<CalibrationVersion, 'amplifierId'>,
  name: string | null,
): string {
  return amplifierId === null
    ? 'none connected, or the simulated one'
    : (name ?? 'no longer in the list of amplifiers');
}
