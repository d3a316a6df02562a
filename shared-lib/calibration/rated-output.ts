import { AppError } from '../app-error.ts';
import { formatNumber, formatQuantity, formatTorqueInBothUnits } from '../format-quantity.ts';
import type { CalibrationInput, CalibrationSense } from './calibration-model.ts';
import { shuntForOutputOhm, shuntOutputMvPerV } from './shunt.ts';

export type RatedOutputInput = Extract<CalibrationInput, { method: 'ratedOutput' }>;

export interface RatedOutputGain {
  /** Of both senses. */
  readonly sense: CalibrationSense;
  readonly remarks: string[];
}

/** Under this deflection one count alone is worth more than 1 % (ours), under the other more than 0.1 %. */
const MIN_SHUNT_COUNTS = 100;
const COARSE_SHUNT_COUNTS = 1000;
/** Ours: shunts are made to show a good part of the rated output; far from it a resistance is in the wrong unit, as a rule. */
const LEAST_SHARE_OF_RATED = 0.1;
const GREATEST_SHARE_OF_RATED = 2;

/**
 * The gain from the maker's rated output and from what one mV/V is in counts. No torque is applied: the range ends at the
 * torque of the rated output.
 *
 * Errors: AppError 'calibration-degenerate' where the shunt moved the counts by under 100, or the rated output would.
 */
export function gainFromRatedOutput(input: RatedOutputInput): RatedOutputGain {
  const { ratedOutputMvPerV, capacityNm, countsSign } = input;
  const { countsPerMvPerV, remarks } = scaleOf(input);
  return {
    sense: {
      gainNmPerCount: (countsSign * capacityNm) / (ratedOutputMvPerV * countsPerMvPerV),
      validToNm: capacityNm,
      curve: null,
    },
    remarks: [
      input.scale.kind === 'shunt'
        ? 'Lower grade of evidence: it rests on the maker’s figure and on a shunt, which is not a calibration uncertainty. Hang a known weight as soon as there is one.'
        : 'Lower grade of evidence: it rests on the maker’s figure and on the scale that the amplifier’s maker states, neither of which is a calibration uncertainty. Hang a known weight as soon as there is one.',
      `No torque was applied. Both senses get the same gain, and readings count as inside the range up to ${formatTorqueInBothUnits(capacityNm, 1)}, the torque of the rated output.`,
      ...remarks,
    ],
  };
}

function scaleOf(input: RatedOutputInput): { countsPerMvPerV: number; remarks: string[] } {
  const { scale, zeroCounts, ratedOutputMvPerV } = input;
  if (scale.kind === 'stated') {
    const ratedCounts = ratedOutputMvPerV * scale.countsPerMvPerV;
    if (ratedCounts < MIN_SHUNT_COUNTS) {
      throw new AppError(
        'calibration-degenerate',
        `By this scale the whole rated output would move the counts by only ${formatNumber(ratedCounts, 0)}; under ${MIN_SHUNT_COUNTS} one count is worth more than 1 %. ` +
          'Check that the scale is in counts for one mV/V. No calibration was stored.',
      );
    }
    return { countsPerMvPerV: scale.countsPerMvPerV, remarks: [] };
  }
  const outputMvPerV = shuntOutputMvPerV(scale);
  const deflection = Math.abs(scale.shuntCounts - zeroCounts);
  if (deflection < MIN_SHUNT_COUNTS) {
    throw new AppError(
      'calibration-degenerate',
      `The shunt moved the counts by only ${formatNumber(deflection, 0)}; under ${MIN_SHUNT_COUNTS} one count is worth more than 1 %. ` +
        'Check that the shunt was switched on when its counts were read and off when the zero was, or raise the amplifier’s gain. No calibration was stored.',
    );
  }
  const remarks = [
    `The shunt is worth ${formatQuantity(outputMvPerV, 'mVPerV', 4)} across one arm of four equal ones. Leads, and resistors inside the transducer that complete the bridge, are not in that.`,
  ];
  if (deflection < COARSE_SHUNT_COUNTS) {
    remarks.push(
      `The scale rests on a deflection of ${formatNumber(deflection, 0)} counts: one count is worth ${formatNumber(100 / deflection, 1)} % of it.`,
    );
  }
  const share = outputMvPerV / ratedOutputMvPerV;
  if (share < LEAST_SHARE_OF_RATED || share > GREATEST_SHARE_OF_RATED) {
    const fittingOhm = shuntForOutputOhm(scale.bridgeOhm, ratedOutputMvPerV);
    remarks.push(
      `The shunt is worth ${formatNumber(100 * share, share < 1 ? 1 : 0)} % of the rated output; one that shows it whole has ${formatQuantity(fittingOhm, 'kOhm', 1)}. ` +
        'Check the resistances and their units (Ω or kΩ).',
    );
  }
  return { countsPerMvPerV: deflection / outputMvPerV, remarks };
}
