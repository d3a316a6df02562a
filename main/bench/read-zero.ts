import { AppError } from '../../shared-lib/app-error.ts';
import { createTorqueConverter } from '../../shared-lib/calibration/apply-calibration.ts';
import type { CalibrationVersion } from '../../shared-lib/calibration/calibration-model.ts';
import { formatNumber, formatTorqueInBothUnits } from '../../shared-lib/format-quantity.ts';
import { isAtRail } from '../../shared-lib/signal/converter-rails.ts';
import { STILL_COUNTS } from '../../shared-lib/signal/stuck-limits.ts';
import { zeroRecord } from '../../shared-lib/trial/zero-record.ts';
import type { IdleRecord } from '../acquisition/acquisition-service.ts';

export interface Zero {
  readonly counts: number;
  /** Standard deviation of the measuring curve at rest; null without a calibration or under 36 Sa/s. */
  readonly noiseNm: number | null;
  /** Greatest minus least of its samples. */
  readonly spreadCounts: number;
  readonly takenAt: string;
}

/** Ours: a measuring curve that spreads more than this share of the capacity (s over one second) is not at rest. */
const STEADY_SHARE = 0.0025;

/**
 * The zero from one second of idle samples.
 *
 * Errors: AppError 'at-rail' where the converter is at its end; 'not-steady' where the reading moves too much. Judging that takes a
 * calibration and a capacity; without them every other record is taken.
 */
export function readZero(input: {
  readonly record: IdleRecord;
  readonly calibration: CalibrationVersion | null;
  readonly capacityNm: number | null;
  readonly nominalRateHz: number;
  readonly converterBits: number;
  readonly takenAt: string;
}): Zero {
  const { record, calibration, capacityNm, nominalRateHz, converterBits, takenAt } = input;
  const railed = record.counts.find((counts) => isAtRail(counts, converterBits));
  if (railed !== undefined) {
    throw new AppError(
      'at-rail',
      `The reading stands at ${formatNumber(railed, 0)} counts, the end of what a converter of ${converterBits} bits can give, so no zero was taken: what lies beyond is not seen. Check the cable and the plug of the transducer, take off any load, and look whether the amplifier's range fits; then set the zero again.`,
      { counts: railed, converterBits },
    );
  }
  const rest = zeroRecord(Float64Array.from(record.counts), nominalRateHz);
  const gains = [calibration?.forward, calibration?.reverse].flatMap((sense) =>
    sense ? [Math.abs(sense.gainNmPerCount)] : [],
  );
  // Noise around zero lies in both senses; the larger gain is the cautious one.
  const noiseNm =
    gains.length === 0 || rest.noiseCounts === null ? null : Math.max(...gains) * rest.noiseCounts;
  if (noiseNm !== null && capacityNm !== null && noiseNm > STEADY_SHARE * capacityNm) {
    throw new AppError(
      'not-steady',
      `The reading is not at rest (it moves by about ${formatTorqueInBothUnits(noiseNm, 1)}), so no zero was taken. Take the tool off the transducer, wait until it is still, and try again.`,
      { noiseNm },
    );
  }
  return { counts: rest.meanCounts, noiseNm, spreadCounts: rest.peakToPeakCounts, takenAt };
}

/** Whether a transducer at rest is so still that a count which stands says nothing. False without a zero to tell by. */
export function isStillAtRest(zero: Zero | null): boolean {
  return zero !== null && zero.spreadCounts <= STILL_COUNTS;
}

/** Ours: between trials the zero follows drift up to this share of the capacity by itself; more looks like a load. */
const ZERO_FOLLOWS_SHARE = 0.005;

interface Rest {
  readonly before: Pick<Zero, 'counts'>;
  /** What it reads at rest now. */
  readonly now: Pick<Zero, 'counts'>;
  readonly calibration: CalibrationVersion;
  readonly senseSign: 1 | -1;
  readonly capacityNm: number;
}

/** Refuses a new zero that would tare a load away. Errors: AppError 'not-unloaded'. */
export function refuseLoad(rest: Rest): void {
  const shiftNm = shiftSince(rest);
  if (Math.abs(shiftNm) <= ZERO_FOLLOWS_SHARE * rest.capacityNm) return;
  throw new AppError(
    'not-unloaded',
    `The transducer reads ${formatTorqueInBothUnits(shiftNm, 1)} at rest, so no trial was started. Take the load off; if there is none, set the zero.`,
    { shiftNm },
  );
}

/**
 * Refuses to watch for a push where something stands on the transducer already: the weight of a bar would be taken for the push.
 *
 * Errors: AppError 'not-unloaded'.
 */
export function refuseStandingBeforePush(rest: Rest): void {
  const standsNm = shiftSince(rest);
  if (Math.abs(standsNm) <= ZERO_FOLLOWS_SHARE * rest.capacityNm) return;
  throw new AppError(
    'not-unloaded',
    `The transducer reads ${formatTorqueInBothUnits(standsNm, 1)} before the push, which would be taken for it. Nothing was changed. Set the zero with the bar on as it hangs, then try again.`,
    { standsNm },
  );
}

function shiftSince({ before, now, calibration, senseSign }: Rest): number {
  return createTorqueConverter({ calibration, zeroCounts: before.counts, senseSign }).toTorqueNm(now.counts);
}
