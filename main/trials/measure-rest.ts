import { createTorqueConverter } from '../../shared-lib/calibration/apply-calibration.ts';
import { joinBlocks, presentCounts } from '../../shared-lib/signal/trim-block.ts';
import type { AcquisitionService } from '../acquisition/acquisition-service.ts';
import type { ArmedTrial } from './armed-trial.ts';

const REST_S = 0.5;
/** Ours: below this share of the capacity the transducer counts as unloaded; well above the zero shift that spoils a trial. */
const UNLOADED_SHARE = 0.05;
/** Ours: a rig that holds counts as unloaded only once this share of what it held is gone, be that ever so little ... */
const HELD_SHARE = 0.5;
/** ... but what lies within the zero shift that a trial may have is not taken for a load. */
const ZERO_SHARE = 0.005;
/** Ours: the two halves of the rest differ by less than this share of the capacity, or by 3 times the noise. */
const SETTLED_SHARE = 0.001;

/**
 * The zero in counts once the transducer has come to rest after a run, or null while it has not: over the last 0.5 s the
 * torque is near zero and its two halves agree. `runTorqueNm`: what the run ended with.
 */
export function measureRest(
  acquisition: Pick<AcquisitionService, 'blocksFrom'>,
  endSlot: number,
  armed: ArmedTrial,
  runTorqueNm: number,
): number | null {
  const slots = Math.max(8, Math.ceil(REST_S * armed.sampleRateHz));
  const record = joinBlocks(acquisition.blocksFrom(endSlot - slots));
  if (!record || record.counts.length < slots) return null;
  const counts = presentCounts(record);
  if (counts.length < slots / 2) return null;

  const capacityNm = armed.conditions.transducer.capacityNm ?? armed.overloadNm;
  const converter = createTorqueConverter({
    calibration: armed.calibration,
    zeroCounts: armed.conditions.zeroCounts,
    senseSign: armed.conditions.transducer.senseSign,
  });
  const half = Math.floor(counts.length / 2);
  const earlier = mean(counts.subarray(0, half));
  const later = mean(counts.subarray(half));
  const differenceNm = Math.abs(converter.toTorqueNm(later) - converter.toTorqueNm(earlier));
  const settledNm = Math.max(SETTLED_SHARE * capacityNm, 3 * armed.conditions.noiseNm);
  const zeroCounts = mean(counts);
  const unloadedNm = UNLOADED_SHARE * capacityNm;
  const limitNm =
    armed.plan.rigUnloading === 'holds'
      ? Math.min(unloadedNm, Math.max(ZERO_SHARE * capacityNm, HELD_SHARE * Math.abs(runTorqueNm)))
      : unloadedNm;
  const isUnloaded = Math.abs(converter.toTorqueNm(zeroCounts)) < limitNm;
  return isUnloaded && differenceNm < settledNm ? zeroCounts : null;
}

function mean(counts: Int32Array): number {
  return counts.reduce((sum, value) => sum + value, 0) / counts.length;
}
