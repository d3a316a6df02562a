import { formatDuration, formatNumber, formatRate, formatTorqueInBothUnits } from '../format-quantity.ts';
import { MIN_MEASURING_RATE_HZ } from '../signal/measuring-curve.ts';
import type { StuckReading } from './find-stuck-reading.ts';
import { crossingHoldSamples } from './held-crossing.ts';
import { hasWrongDirection, overAfterStopS } from './kind-rules.ts';
import type { Direction, Kind } from './step-model.ts';
import type { Breakaway, FaultEvent, Quality, QualityReason, Transducer } from './trial-model.ts';

/** What is known about a trial that bears on whether its figures can be believed. */
export interface QualityFacts {
  readonly kind: Kind;
  readonly direction: Direction;
  readonly nominalRateHz: number;
  readonly sampleRateHz: number;
  readonly onsetLevelNm: number;
  readonly hasOnset: boolean;
  readonly plannedS: number;
  /** From onset to the end of the record; 0 without onset. */
  readonly recordedS: number;
  /** From the onset found live to that of the whole record; null without onset, or where live says nothing of this record. */
  readonly onsetMovedS: number | null;
  /** Without torque right before onset; null without onset, or where there is torque. */
  readonly onsetGapS: number | null;
  /** With the lines that could not be read where these left no empty slot. */
  readonly slotsInRun: number;
  readonly lostSlotsInRun: number;
  /** Samples at either end of the converter's range. */
  readonly railSamples: number;
  /** Magnitude; null where zero was not measured after the trial. */
  readonly zeroShiftNm: number | null;
  readonly capacityNm: number | null;
  readonly overloadLimitNm: number | null;
  /** Magnitude, over the whole record. */
  readonly largestReadingNm: number;
  /** The reading of the run farthest outside the calibrated range, positive in the step's direction; null where all lie inside. */
  readonly beyondCalibrationNm: number | null;
  readonly isSenseCalibrated: boolean;
  /** Why the calibration no longer held when the trial began, in sentences; empty: it held. */
  readonly calibrationDoubts: readonly string[];
  /** After onset; null where the torque stayed. */
  readonly earlyStopS: number | null;
  /** After onset, where the torque went past the onset level against the step and held that; null where it did not. */
  readonly wrongDirectionS: number | null;
  /** Kind breakaway only: what was found, and the preload of the plan; null where it names none. */
  readonly breakaway: Breakaway | null;
  readonly plannedPreloadNm: number | null;
  /** While the tool pulled; null where the count never stood still under load, or where there are no counts. */
  readonly stuckReading: StuckReading | null;
  /** Since the pull before with this setup, and what the plan wants; null where there is no such thing. */
  readonly restedS: number | null;
  readonly plannedRestS: number | null;
  readonly faults: readonly FaultEvent[];
}

/** Limits by our own judgement. A share is of the run's slots, a shift of the transducer's capacity. */
const LOST_SHARE = { look: 0.001, notUsable: 0.02 } as const;
const ZERO_SHIFT_SHARE = { look: 0.005, notUsable: 0.02 } as const;
const RATE_OFF_SHARE = 0.02;
/** Of the planned preload. */
const PRELOAD_OFF_SHARE = 0.1;

/** A reading above the lower of the transducer's capacity and the rig's limit is an overload; null where neither is known. */
export function overloadLimitNm(transducer: Pick<Transducer, 'capacityNm' | 'rigLimitNm'>): number | null {
  const limits = [transducer.capacityNm, transducer.rigLimitNm].filter((limit) => limit !== null);
  return limits.length === 0 ? null : Math.min(...limits);
}

/**
 * Judges a trial by what the bench did, never by its figures: good, look, or not usable, with every reason and its number.
 *
 * An early stop is no fault: a tool's own stop is a result. Of kind tighten it is said as "look" because only the operator
 * knows whether it was the tool or the trigger; of stall and endurance it is what the trial is about, and a record that
 * ends after it is whole. A breakaway has neither an early stop nor a wrong direction, but a preload to be released.
 */
export function assessQuality(facts: QualityFacts): Quality {
  const reasons = [
    ...judgeCurve(facts),
    ...judgeOnset(facts),
    ...judgePreload(facts),
    ...judgeLostSamples(facts),
    ...judgeConverter(facts),
    ...judgeStuckReading(facts),
    ...judgeZero(facts),
    ...judgeLoad(facts),
    ...judgeCalibration(facts),
    ...judgeRate(facts),
    ...judgeFaults(facts),
    ...judgeRest(facts),
  ];
  const isNotUsable = reasons.some((reason) => reason.severity === 'notUsable');
  return { verdict: isNotUsable ? 'notUsable' : reasons.length > 0 ? 'look' : 'good', reasons };
}

function judgeCurve(facts: QualityFacts): QualityReason[] {
  if (!(facts.nominalRateHz >= MIN_MEASURING_RATE_HZ)) {
    return [
      notUsable(
        'rateTooLow',
        `At ${formatRate(facts.nominalRateHz)} there is no measuring curve; a trial needs at least ${formatRate(MIN_MEASURING_RATE_HZ)}.`,
      ),
    ];
  }
  if (!facts.hasOnset) {
    return [
      notUsable(
        'noOnset',
        `Torque never rose above the onset level of ${formatTorqueInBothUnits(facts.onsetLevelNm, 1)} and stayed there, so nothing can be timed.`,
      ),
    ];
  }
  const reasons: QualityReason[] = [];
  const isWholeByStop = facts.earlyStopS !== null && overAfterStopS(facts.kind) !== null;
  if (facts.recordedS < facts.plannedS && !isWholeByStop) {
    reasons.push(
      notUsable(
        'recordShort',
        `The record ends ${formatDuration(facts.recordedS, 2)} after onset; ${formatDuration(facts.plannedS, 1)} were planned.`,
      ),
    );
  }
  if (facts.earlyStopS !== null && facts.kind === 'tighten') {
    reasons.push(
      look(
        'earlyStop',
        `Torque fell away ${formatDuration(facts.earlyStopS, 2)} after onset; ${formatDuration(facts.plannedS, 1)} were planned. ` +
          'Keep the trial if the tool stopped by itself: that is a result.',
      ),
    );
  }
  if (facts.wrongDirectionS !== null && hasWrongDirection(facts.kind)) {
    reasons.push(
      notUsable(
        'wrongDirection',
        `${formatDuration(facts.wrongDirectionS, 2)} after onset the torque went the wrong way for a ${facts.direction} run, ` +
          `past the onset level of ${formatTorqueInBothUnits(facts.onsetLevelNm, 1)}.`,
      ),
    );
  }
  return reasons;
}

/** Run and stop cue went by the onset found live; one of the whole record that lies elsewhere moves all times. */
function judgeOnset(facts: QualityFacts): QualityReason[] {
  return [...judgeMovedOnset(facts), ...judgeOnsetGap(facts)];
}

/** Where samples are lost up to onset nobody knows when torque rose, and the first one that is there is taken for it. */
function judgeOnsetGap({ onsetGapS }: QualityFacts): QualityReason[] {
  if (onsetGapS === null) return [];
  return [
    look(
      'onsetInGap',
      `Samples are lost right before onset: there is no torque for ${formatDuration(onsetGapS, 3)} up to it. The pull may have begun so much earlier, and all times with it.`,
    ),
  ];
}

function judgeMovedOnset({ onsetMovedS, nominalRateHz }: QualityFacts): QualityReason[] {
  const limitS = crossingHoldSamples(nominalRateHz) / nominalRateHz;
  if (onsetMovedS === null || Math.abs(onsetMovedS) <= limitS) return [];
  return [
    look(
      'onsetMoved',
      `The onset of the whole record lies ${formatDuration(Math.abs(onsetMovedS), 2)} ${onsetMovedS < 0 ? 'before' : 'after'} ` +
        'the one by which the run was timed, and all times count from it. Look whether the curve begins with a touch before the pull.',
    ),
  ];
}

/** A breakaway says something only of the preload that was there. */
function judgePreload({ kind, hasOnset, breakaway, plannedPreloadNm }: QualityFacts): QualityReason[] {
  if (kind !== 'breakaway' || !hasOnset || breakaway === null) return [];
  if ('refused' in breakaway) return [notUsable('noPreload', breakaway.refused)];
  if (plannedPreloadNm === null) return [];
  const deviation = breakaway.preloadNm / plannedPreloadNm - 1;
  if (Math.abs(deviation) <= PRELOAD_OFF_SHARE) return [];
  return [
    look(
      'preloadOff',
      `The preload stood at ${formatTorqueInBothUnits(breakaway.preloadNm, 1)}; ` +
        `${formatTorqueInBothUnits(plannedPreloadNm, 1)} were planned, and more than ${percent(PRELOAD_OFF_SHARE, 0)} off is another trial.`,
    ),
  ];
}

function judgeLostSamples({ lostSlotsInRun, slotsInRun }: QualityFacts): QualityReason[] {
  const share = slotsInRun === 0 ? 0 : lostSlotsInRun / slotsInRun;
  if (share <= LOST_SHARE.look) return [];
  const isTooMuch = share > LOST_SHARE.notUsable;
  const limit = isTooMuch ? LOST_SHARE.notUsable : LOST_SHARE.look;
  return [
    (isTooMuch ? notUsable : look)(
      'lostSamples',
      `${percent(share, 2)} of the run's samples are lost (${formatNumber(lostSlotsInRun, 0)} of ${formatNumber(slotsInRun, 0)}); ` +
        `our limit is ${percent(limit, 1)}.`,
    ),
  ];
}

function judgeConverter({ railSamples }: QualityFacts): QualityReason[] {
  if (railSamples === 0) return [];
  return [
    notUsable(
      'rails',
      `${railSamples === 1 ? '1 sample stands' : `${formatNumber(railSamples, 0)} samples stand`} at the end of the converter's range; ` +
        'the torque beyond it was not seen.',
    ),
  ];
}

/** Only counts that flicker at rest can tell an amplifier that no longer reads from a torque that stands. */
function judgeStuckReading({ stuckReading }: QualityFacts): QualityReason[] {
  if (stuckReading === null) return [];
  const { fromS, durationS, torqueNm, atRest } = stuckReading;
  const stood =
    `From ${formatDuration(fromS, 2)} after onset the same count came again and again for ${formatDuration(durationS, 2)}, ` +
    `at ${formatTorqueInBothUnits(torqueNm, 1)}`;
  switch (atRest) {
    case 'still':
      return [
        look(
          'stuck',
          `${stood}. It is as still at rest, so a torque that stands looks alike: keep the trial if the rig held it.`,
        ),
      ];
    case 'unknown':
      return [
        look(
          'stuck',
          `${stood}. How still it is at rest is not in the record: keep the trial if a torque can have stood so.`,
        ),
      ];
    case 'flickers':
      return [
        notUsable(
          'stuck',
          `${stood}, though it flickers at rest. The reading was not live; check amplifier and transducer cable.`,
        ),
      ];
  }
}

function judgeZero({ zeroShiftNm, capacityNm }: QualityFacts): QualityReason[] {
  if (zeroShiftNm === null) {
    return [
      look('zeroNotMeasured', 'Zero was not measured after the trial, so a shift of zero would not be seen.'),
    ];
  }
  const shift = formatTorqueInBothUnits(zeroShiftNm, 2);
  if (capacityNm === null) {
    return [
      look(
        'zeroNotJudged',
        `Zero moved by ${shift}; how much that is cannot be said without the transducer's capacity.`,
      ),
    ];
  }
  const share = zeroShiftNm / capacityNm;
  if (share <= ZERO_SHIFT_SHARE.look) return [];
  const isTooMuch = share > ZERO_SHIFT_SHARE.notUsable;
  const limit = isTooMuch ? ZERO_SHIFT_SHARE.notUsable : ZERO_SHIFT_SHARE.look;
  return [
    (isTooMuch ? notUsable : look)(
      'zeroShift',
      `Zero moved by ${shift} over the trial, ${percent(share, 2)} of capacity; our limit is ${percent(limit, 1)}.`,
    ),
  ];
}

function judgeLoad(facts: QualityFacts): QualityReason[] {
  const reasons: QualityReason[] = [];
  const limitNm = facts.overloadLimitNm;
  if (limitNm !== null && facts.largestReadingNm > limitNm) {
    reasons.push(
      notUsable(
        'overload',
        `A reading of ${formatTorqueInBothUnits(facts.largestReadingNm, 1)} passed the limit of ${formatTorqueInBothUnits(limitNm, 1)}. ` +
          'Transducer and rig may have suffered: check both, and the zero, before the next trial.',
      ),
    );
  }
  if (!facts.isSenseCalibrated) {
    reasons.push(
      notUsable(
        'senseNotCalibrated',
        facts.kind === 'breakaway'
          ? 'The calibration has no load in one of the senses; a breakaway goes from one to the other, so part of its torque rests on the gain of the wrong one.'
          : 'The calibration has no load in the sense of this step; its torque rests on the gain of the other sense.',
      ),
    );
  } else if (facts.beyondCalibrationNm !== null) {
    reasons.push(
      look(
        'beyondCalibration',
        `A reading of ${formatTorqueInBothUnits(facts.beyondCalibrationNm, 1)} lies outside the calibrated range; what it is worth is not known.`,
      ),
    );
  }
  return reasons;
}

/** A tool that has not cooled down, and a pack that has not recovered, pull otherwise. */
function judgeRest({ restedS, plannedRestS }: QualityFacts): QualityReason[] {
  if (restedS === null || plannedRestS === null || restedS >= plannedRestS) return [];
  return [
    look(
      'restCut',
      `The setup had rested for ${formatDuration(restedS, 0)} before this pull; the plan wants ${formatDuration(plannedRestS, 0)}.`,
    ),
  ];
}

/** What was read stays what was read: the operator decides whether a calibration past its time is good enough. */
function judgeCalibration({ calibrationDoubts }: QualityFacts): QualityReason[] {
  return calibrationDoubts.length === 0 ? [] : [look('calibrationExpired', calibrationDoubts.join(' '))];
}

function judgeRate({ sampleRateHz, nominalRateHz }: QualityFacts): QualityReason[] {
  const deviation = (sampleRateHz - nominalRateHz) / nominalRateHz;
  if (Math.abs(deviation) <= RATE_OFF_SHARE) return [];
  return [
    look(
      'rateOffNominal',
      `The amplifier sent ${formatRate(sampleRateHz, 1)}, ${percent(Math.abs(deviation), 1)} ` +
        `${deviation > 0 ? 'above' : 'below'} its nominal ${formatRate(nominalRateHz)}; more than 2 % deserves a look at the profile.`,
    ),
  ];
}

/** Faults that cannot be read from the curve itself; the others are judged by what they did to it. */
function judgeFaults({ faults }: QualityFacts): QualityReason[] {
  return [
    ...fromFaults(faults, 'silence'),
    ...fromFaults(faults, 'deviceFlag'),
    ...fromFaults(faults, 'computerSlept'),
    ...fromFaults(faults, 'segmentBreak'),
  ];
}

function fromFaults(faults: readonly FaultEvent[], kind: FaultEvent['kind']): QualityReason[] {
  const ofKind = faults.filter((fault) => fault.kind === kind);
  if (ofKind.length === 0) return [];
  // Each flag of the amplifier is a matter of its own; of the others only the first one's figure is given.
  const alike =
    kind === 'deviceFlag' ? Map.groupBy(ofKind, ({ sentence }) => sentence) : new Map([[kind, ofKind]]);
  return [look(kind, [...alike.values()].map(sentenceOf).join(' '))];
}

function sentenceOf([first, ...others]: readonly FaultEvent[]): string {
  const times = others.length === 1 ? 'once more' : `${others.length} more times`;
  return `${first?.sentence ?? ''}${others.length === 0 ? '' : ` The same happened ${times}.`}`;
}

function look(code: string, sentence: string): QualityReason {
  return { code, severity: 'look', sentence };
}

function notUsable(code: string, sentence: string): QualityReason {
  return { code, severity: 'notUsable', sentence };
}

function percent(share: number, decimals: number): string {
  return `${formatNumber(share * 100, decimals)} %`;
}
