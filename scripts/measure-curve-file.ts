import { AppError } from '../shared-lib/app-error.ts';
import { createTorqueConverter, type TorqueConverter } from '../shared-lib/calibration/apply-calibration.ts';
import { evenTimes } from '../shared-lib/signal/even-times.ts';
import { meanOfPresent } from '../shared-lib/signal/mean-of-present.ts';
import { measuringCurve, measuringWindowSamples } from '../shared-lib/signal/measuring-curve.ts';
import type { SlotRange } from '../shared-lib/signal/sample-block.ts';
import { assessQuality } from '../shared-lib/trial/assess-quality.ts';
import { evaluateCurve, type EvaluatedCurve } from '../shared-lib/trial/evaluate-curve.ts';
import { findOnsetOfStep } from '../shared-lib/trial/find-onset.ts';
import { findStuckReading } from '../shared-lib/trial/find-stuck-reading.ts';
import {
  countAtRails,
  countLost,
  extremes,
  farthestOutside,
  onsetGapS,
  sensesOf,
  wrongDirectionS,
} from '../shared-lib/trial/judge-trial.ts';
import { onsetLevelOfRecord, type OnsetLevel } from '../shared-lib/trial/onset-level-of-record.ts';
import type { Direction, Step } from '../shared-lib/trial/step-model.ts';
import type { Quality } from '../shared-lib/trial/trial-model.ts';
import {
  directionSign,
  recordedAfterOnsetS,
  runIndices,
  type TrialRun,
} from '../shared-lib/trial/trial-run.ts';
import type { CalibrationFile } from './read-calibration-file.ts';
import type { CurveFile } from './read-curve-file.ts';

/** What a person says of the curve; null: not said. */
export interface MeasureChoice {
  readonly plannedS: number | null;
  readonly capacityNm: number | null;
  readonly levelsNm: readonly number[];
  readonly direction: Direction | null;
  readonly onsetNm: number | null;
  readonly antiAliasHz: number | null;
}

export interface MeasuredCurve {
  readonly evaluated: EvaluatedCurve;
  readonly quality: Quality;
  readonly direction: Direction;
  readonly plannedS: number;
  readonly nominalRateHz: number;
  /** Null: the level was given, or the curve has none. */
  readonly onsetLevel: OnsetLevel | null;
  /** On the file's time axis. */
  readonly startS: number;
  readonly sampleCount: number;
  readonly lostSamples: number;
}

interface TorqueRecord {
  readonly counts: Int32Array | null;
  /** Null: torque came as it is. */
  readonly converter: TorqueConverter | null;
  /** Clockwise positive; NaN: lost. */
  readonly torqueNm: Float64Array;
}

/** A rate this near to a whole one is taken for it where windows are counted in samples. */
const NOMINAL_SHARE = 0.005;
/** The zero before and after the run rests on so much of the record, where it is there. */
const REST_S = 0.5;
const LEAST_REST_SAMPLES = 10;
/** Where the converter is not known. */
const NO_RAILS_BITS = 64;

/**
 * All measures of a file's curve, by the functions that the program measures its trials with.
 *
 * Errors: AppError 'input-out-of-range' with the line where the times are no even clock.
 */
export function measureCurveFile(
  file: CurveFile,
  fileName: string,
  calibration: CalibrationFile | null,
  choice: MeasureChoice,
): MeasuredCurve {
  const times = evenTimes(file.timesS, file.timeResolutionS);
  if ('problem' in times) {
    const line = file.lines[times.index] ?? 1;
    throw new AppError(
      'input-out-of-range',
      `${fileName}, line ${line}: ${times.problem}. A curve is measured from samples at one even rate, in order; ` +
        'lost ones may be left out. Export the record with its own sample times and enough digits.',
      { line },
    );
  }
  const { sampleRateHz, slots, slotCount, startS } = times;
  const record = torqueOf(file, slots, slotCount, calibration);
  const nominalRateHz = nominalRate(sampleRateHz);
  const direction = choice.direction ?? directionOf(record.torqueNm, nominalRateHz);
  const rawNm = record.torqueNm.map((value) => directionSign(direction) * value);
  const onsetLevel =
    choice.onsetNm === null ? onsetLevelOfRecord(rawNm, nominalRateHz, choice.capacityNm) : null;
  const curve = {
    rawNm,
    nominalRateHz,
    sampleRateHz,
    onsetLevelNm: choice.onsetNm ?? onsetLevel?.levelNm ?? 0,
    levelsNm: choice.levelsNm,
    antiAliasBandwidthHz: choice.antiAliasHz,
  };
  const onsetS = onsetOf(rawNm, nominalRateHz, curve.onsetLevelNm, direction) / sampleRateHz;
  const plannedS = plannedTimeS(choice.plannedS, (slotCount - 1) / sampleRateHz - onsetS, 0.5 / sampleRateHz);
  const step: Step = { toolName: fileName, kind: 'tighten', direction, plannedS };
  const evaluated = evaluateCurve({ ...curve, step });
  return {
    evaluated,
    quality: judge(evaluated, record, rawNm, { step, nominalRateHz, calibration, choice }),
    direction,
    plannedS,
    nominalRateHz,
    onsetLevel,
    startS,
    sampleCount: file.values.length,
    lostSamples: slotCount - file.values.length,
  };
}

function torqueOf(
  file: CurveFile,
  slots: Int32Array,
  slotCount: number,
  calibration: CalibrationFile | null,
): TorqueRecord {
  if (calibration === null) {
    const torqueNm = new Float64Array(slotCount).fill(Number.NaN);
    slots.forEach((slot, index) => {
      torqueNm[slot] = file.values[index] ?? Number.NaN;
    });
    return { counts: null, converter: null, torqueNm };
  }
  const counts = new Int32Array(slotCount);
  slots.forEach((slot, index) => {
    counts[slot] = file.values[index] ?? 0;
  });
  const { zeroCounts, senseSign } = calibration;
  const converter = createTorqueConverter({ calibration, zeroCounts, senseSign });
  return { counts, converter, torqueNm: converter.convertBlock(counts, gapsBetween(slots)) };
}

/** The slots between samples that none has. */
function gapsBetween(slots: Int32Array): SlotRange[] {
  const gaps: SlotRange[] = [];
  slots.forEach((slot, index) => {
    const offset = (slots[index - 1] ?? -1) + 1;
    if (slot > offset) gaps.push({ offset, length: slot - offset });
  });
  return gaps;
}

function nominalRate(sampleRateHz: number): number {
  const whole = Math.round(sampleRateHz);
  return Math.abs(sampleRateHz - whole) <= NOMINAL_SHARE * sampleRateHz ? whole : sampleRateHz;
}

/** That of the larger excursion of the measuring curve, which a single spike does not turn; under 36 Sa/s of the samples. */
function directionOf(torqueNm: Float64Array, nominalRateHz: number): Direction {
  const windowSamples = measuringWindowSamples(nominalRateHz);
  const curve = windowSamples === null ? torqueNm : measuringCurve(torqueNm, windowSamples);
  const { least, greatest } = extremes(curve, { first: 0, end: curve.length });
  return -least > greatest ? 'reverse' : 'forward';
}

/** In samples from the record's first one; 0 without an onset. */
function onsetOf(rawNm: Float64Array, nominalRateHz: number, levelNm: number, direction: Direction): number {
  const windowSamples = measuringWindowSamples(nominalRateHz);
  if (windowSamples === null) return 0;
  const step: Step = { toolName: 'curve', kind: 'tighten', direction, plannedS: 1 };
  return findOnsetOfStep(measuringCurve(rawNm, windowSamples), step, levelNm, nominalRateHz) ?? 0;
}

/** What was not said is the whole record; one that ends within half a sample of the planned time reaches it. */
function plannedTimeS(saidS: number | null, recordedS: number, toleranceS: number): number {
  return saidS === null || (saidS > recordedS && saidS <= recordedS + toleranceS) ? recordedS : saidS;
}

function judge(
  { run, earlyStopS, figures }: EvaluatedCurve,
  { counts, converter }: TorqueRecord,
  rawNm: Float64Array,
  {
    step,
    nominalRateHz,
    calibration,
    choice: { capacityNm },
  }: {
    readonly step: Step;
    readonly nominalRateHz: number;
    readonly calibration: CalibrationFile | null;
    readonly choice: MeasureChoice;
  },
): Quality {
  const record = { first: 0, end: rawNm.length };
  const runRange = run === null ? record : runIndices(run);
  const readings = extremes(rawNm, record);
  const { onsetLevelNm, sampleRateHz } = figures;
  const bits = calibration?.converterBits ?? null;
  return assessQuality({
    kind: step.kind,
    direction: step.direction,
    nominalRateHz,
    sampleRateHz,
    onsetLevelNm,
    hasOnset: run !== null,
    plannedS: step.plannedS,
    recordedS: run === null ? 0 : recordedAfterOnsetS(run),
    onsetMovedS: null,
    onsetGapS: run === null ? null : onsetGapS(run),
    slotsInRun: runRange.end - runRange.first,
    lostSlotsInRun: countLost(rawNm, runRange),
    railSamples: counts === null || bits === null ? 0 : countAtRails(counts, bits),
    zeroShiftNm: run === null ? null : zeroShiftNm(run, onsetLevelNm),
    capacityNm,
    overloadLimitNm: capacityNm,
    largestReadingNm: Math.max(-readings.least, readings.greatest),
    beyondCalibrationNm:
      converter === null
        ? null
        : farthestOutside(extremes(rawNm, runRange), converter, directionSign(step.direction)),
    calibrationDoubts: [],
    isSenseCalibrated:
      calibration === null ||
      sensesOf(step, calibration.senseSign).every((sense) => calibration[sense] !== null),
    earlyStopS,
    wrongDirectionS: run === null ? null : wrongDirectionS(run, onsetLevelNm),
    breakaway: null,
    plannedPreloadNm: null,
    // Torques of a file may be rounded: only counts can tell that a reading stood still.
    stuckReading:
      run === null || counts === null
        ? null
        : findStuckReading(run, counts, {
            onsetLevelNm,
            untilS: earlyStopS ?? step.plannedS,
            converterBits: bits ?? NO_RAILS_BITS,
          }),
    restedS: null,
    plannedRestS: null,
    faults: [],
  });
}

/**
 * How far the last half second of the record lies from the last half second that ends a measuring window before onset, where
 * both are at rest: a magnitude in N m; null where the record begins or ends under load.
 */
function zeroShiftNm(run: TrialRun, onsetLevelNm: number): number | null {
  const { rawNm, measuringNm, onsetIndex, windowSamples, nominalRateHz } = run;
  const restSamples = Math.max(LEAST_REST_SAMPLES, Math.round(REST_S * nominalRateHz));
  const beforeEnd = Math.max(0, Math.floor(onsetIndex) - windowSamples);
  const before = meanOfPresent(rawNm.subarray(Math.max(0, beforeEnd - restSamples), beforeEnd));
  const after = meanOfPresent(rawNm.subarray(-restSamples));
  if (beforeEnd < LEAST_REST_SAMPLES || before === null || after === null) return null;
  const isLoadedAtEnd = measuringNm
    .subarray(-restSamples)
    .some((value) => !(Math.abs(value - before) < onsetLevelNm));
  return isLoadedAtEnd ? null : Math.abs(after - before);
}
