import { AppError } from '../app-error.ts';
import type { SlotRange } from '../signal/sample-block.ts';
import type { Direction } from '../trial/trial-model.ts';
import type { CalibrationSense, CalibrationVersion } from './calibration-model.ts';

export interface TorqueConversion {
  readonly calibration: Pick<CalibrationVersion, 'forward' | 'reverse'>;
  readonly zeroCounts: number;
  /** -1 where a clockwise push reads negative through the calibration; see `senseForDirection`. */
  readonly senseSign: 1 | -1;
}

export interface TorqueConverter {
  toTorqueNm(counts: number): number;
  /**
   * Torque of every slot of a block; NaN in its gaps.
   * `into`, where given, must be as long as `counts`; it is filled and returned.
   */
  convertBlock(counts: Int32Array, gaps: readonly SlotRange[], into?: Float64Array): Float64Array;
  /** Whether a torque, as this converter gives it, lies beyond what was applied at calibration. False for NaN. */
  isOutsideRange(torqueNm: number): boolean;
}

/**
 * In a sense that was not calibrated every torque is outside the range. Up to this share of the other sense's range
 * a reading counts as noise about zero instead (ours).
 */
const UNCALIBRATED_NOISE_SHARE = 0.01;

/** The very load of the calibration, converted back, must not fall outside by the last digit of a double. */
const ROUNDING_ALLOWANCE = 1 + 1e-12;

/**
 * Which sense of the calibration a step in `direction` loads.
 *
 * The senses of a calibration are named by how it was loaded. With a sense sign of -1 (a reaction arm) a clockwise
 * pull deflects the transducer as the reverse load did, so a forward step rests on the reverse sense and the other
 * way round.
 */
export function senseForDirection(direction: Direction, senseSign: 1 | -1): Direction {
  if (senseSign === 1) return direction;
  return direction === 'forward' ? 'reverse' : 'forward';
}

/**
 * Converts counts to torque in N m, positive for clockwise seen from behind the tool.
 *
 * A deflection (counts minus zero) takes the gain of the sense it lies in, forward where deflection times gain is not
 * negative; where that sense was not calibrated, the gain of the other one, and `isOutsideRange` says so. The sense
 * sign is applied last.
 *
 * Errors: AppError 'calibration-missing' where neither sense is calibrated.
 */
export function createTorqueConverter({
  calibration,
  zeroCounts,
  senseSign,
}: TorqueConversion): TorqueConverter {
  const forwardGain = (calibration.forward ?? calibration.reverse)?.gainNmPerCount;
  const reverseGain = (calibration.reverse ?? calibration.forward)?.gainNmPerCount;
  if (forwardGain === undefined || reverseGain === undefined) {
    throw new AppError(
      'calibration-missing',
      'This calibration has no calibrated sense, so counts cannot be shown as torque. The counts are safe; make a calibration.',
    );
  }
  const forwardLimitNm = limitNm(calibration.forward, calibration.reverse);
  const reverseLimitNm = limitNm(calibration.reverse, calibration.forward);

  const toTorqueNm = (counts: number): number => {
    const deflection = counts - zeroCounts;
    return senseSign * deflection * (deflection * forwardGain >= 0 ? forwardGain : reverseGain);
  };

  return {
    toTorqueNm,
    convertBlock(counts, gaps, into = new Float64Array(counts.length)) {
      if (into.length !== counts.length) {
        throw new RangeError(`A block of ${counts.length} slots does not fit an array of ${into.length}.`);
      }
      for (let i = 0; i < counts.length; i += 1) into[i] = toTorqueNm(counts[i] ?? 0);
      for (const { offset, length } of gaps) {
        if (offset < 0 || length < 0 || offset + length > into.length) {
          throw new RangeError(
            `A gap of ${length} slots at ${offset} leaves the block of ${into.length} slots.`,
          );
        }
        into.fill(Number.NaN, offset, offset + length);
      }
      return into;
    },
    isOutsideRange(torqueNm) {
      const calibratedNm = torqueNm * senseSign;
      return calibratedNm > forwardLimitNm || calibratedNm < -reverseLimitNm;
    },
  };
}

function limitNm(sense: CalibrationSense | null, other: CalibrationSense | null): number {
  return ROUNDING_ALLOWANCE * (sense?.validToNm ?? UNCALIBRATED_NOISE_SHARE * (other?.validToNm ?? 0));
}
