import { AppError } from '../app-error.ts';
import type { SlotRange } from '../signal/sample-block.ts';
import type { Direction } from '../trial/step-model.ts';
import type { CalibrationSense, CalibrationVersion } from './calibration-model.ts';

export interface TorqueConversion {
  readonly calibration: Pick<CalibrationVersion, 'forward' | 'reverse'>;
  readonly zeroCounts: number;
  /** -1 where a clockwise push reads negative through the calibration; see `senseForDirection`. */
  readonly senseSign: 1 | -1;
}

export interface TorqueConverter {
  toTorqueNm(counts: number): number;
  /** The counts that read as this torque; the other way round. */
  toCounts(torqueNm: number): number;
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
 * A deflection (counts minus zero) takes the gain or the curve of the sense it lies in, forward where deflection times gain
 * is not negative; where that sense was not calibrated, those of the other one, and `isOutsideRange` says so. Beyond the
 * greatest torque that was applied a curve goes on as the straight line that meets it there: a polynomial left to itself
 * bends anywhere. The sense sign is applied last.
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

  const toForward = curveInverse(calibration.forward ?? mirrored(calibration.reverse), 1);
  const toReverse = curveInverse(calibration.reverse ?? mirrored(calibration.forward), -1);

  const toTorqueNm = (counts: number): number => {
    const deflection = counts - zeroCounts;
    return deflection * forwardGain >= 0
      ? senseSign * (toForward === null ? deflection * forwardGain : toForward(deflection))
      : senseSign * (toReverse === null ? deflection * reverseGain : toReverse(deflection));
  };

  return {
    toTorqueNm,
    toCounts(torqueNm) {
      const calibratedNm = torqueNm * senseSign;
      const isForward = calibratedNm >= 0;
      const sense = isForward
        ? (calibration.forward ?? mirrored(calibration.reverse))
        : (calibration.reverse ?? mirrored(calibration.forward));
      return zeroCounts + (sense === null ? Number.NaN : deflectionAt(sense, calibratedNm));
    },
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

/** The curve of one sense read in the other: what is odd in it stays, what is even changes its sign. */
function mirrored(sense: CalibrationSense | null): CalibrationSense | null {
  if (!sense?.curve) return sense;
  const { constantCounts, coefficients } = sense.curve;
  return {
    ...sense,
    curve: {
      constantCounts: -constantCounts,
      coefficients: coefficients.map((coefficient, index) => (index % 2 === 0 ? coefficient : -coefficient)),
    },
  };
}

/** Deflection in counts at a signed torque of this sense. */
function deflectionAt({ curve, gainNmPerCount, validToNm }: CalibrationSense, torqueNm: number): number {
  if (curve === null) return torqueNm / gainNmPerCount;
  if (Math.abs(torqueNm) > validToNm) return torqueNm / gainNmPerCount;
  const [c1 = 0, c2 = 0, c3 = 0] = curve.coefficients;
  return curve.constantCounts + torqueNm * (c1 + torqueNm * (c2 + torqueNm * c3));
}

/** A double is reached from the gain's guess in three to five steps; a curve that is nearly straight takes two. */
const MOST_STEPS = 30;
const CONVERGED_SHARE = 1e-13;

/** Signed torque of a deflection by the curve of a sense, Newton's method from the gain's guess; null where it has none. */
function curveInverse(sense: CalibrationSense | null, sign: 1 | -1): ((deflection: number) => number) | null {
  if (!sense?.curve) return null;
  const { gainNmPerCount, validToNm, curve } = sense;
  const [c1 = 0, c2 = 0, c3 = 0] = curve.coefficients;
  const { constantCounts } = curve;
  // The gain is that of the greatest torque, so the line through it and the origin meets the curve there.
  const greatestDeflection = (sign * validToNm) / gainNmPerCount;
  return (deflection) => {
    if (Math.abs(deflection) >= Math.abs(greatestDeflection)) return deflection * gainNmPerCount;
    let torqueNm = deflection * gainNmPerCount;
    for (let step = 0; step < MOST_STEPS; step += 1) {
      const slope = c1 + torqueNm * (2 * c2 + 3 * c3 * torqueNm);
      const change =
        (constantCounts + torqueNm * (c1 + torqueNm * (c2 + torqueNm * c3)) - deflection) / slope;
      torqueNm -= change;
      if (Math.abs(change) <= CONVERGED_SHARE * validToNm) break;
    }
    return torqueNm;
  };
}
