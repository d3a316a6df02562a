import { createTorqueConverter } from '../../shared-lib/calibration/apply-calibration.ts';
import type { CalibrationVersion } from '../../shared-lib/calibration/calibration-model.ts';
import type { Ringing } from '../../shared-lib/calibration/daily-check-model.ts';
import type { StoredRinging } from '../storage/ringing-repository.ts';

/** What a picture of some hundred pixels can show of a response; all that rings does so within this time. */
const SHOWN_FROM_S = -0.05;
const SHOWN_TO_S = 1;
const MOST_POINTS = 2000;
/** The end of the record, when all has come to rest; what is left of the load stands there. */
const REST_S = 0.5;

/** The torque of a whole record in N m; the rest at its end is zero. */
export function ringingTorqueNm(
  { counts, zeroCounts, senseSign, sampleRateHz }: Omit<StoredRinging, 'id' | 'analysis'>,
  calibration: Pick<CalibrationVersion, 'forward' | 'reverse'>,
): Float64Array {
  const torqueNm = createTorqueConverter({ calibration, zeroCounts, senseSign }).convertBlock(counts, []);
  const rest = torqueNm.subarray(Math.max(0, torqueNm.length - Math.round(REST_S * sampleRateHz)));
  const restNm = rest.reduce((sum, value) => sum + value, 0) / Math.max(1, rest.length);
  return torqueNm.map((value) => value - restNm);
}

/**
 * A stored tap as a window shows it: the response about the tap. Where there are more samples than points, of each
 * stretch the least and the greatest, in the order in which they came.
 */
export function showRinging(stored: StoredRinging, torqueNm: Float64Array): Ringing {
  const { sampleRateHz, tapSlot, analysis } = stored;
  const slotAt = (atS: number): number =>
    Math.min(torqueNm.length, Math.max(0, Math.round(tapSlot + atS * sampleRateHz)));
  const slots = pickSlots(torqueNm, slotAt(SHOWN_FROM_S), slotAt(SHOWN_TO_S));
  return {
    id: stored.id,
    transducerId: stored.transducerId,
    at: stored.at,
    operator: stored.operator,
    sampleRateHz,
    ...analysis,
    timeS: slots.map((slot) => (slot - tapSlot) / sampleRateHz),
    torqueNm: slots.map((slot) => torqueNm[slot] ?? 0),
  };
}

function pickSlots(values: Float64Array, from: number, to: number): number[] {
  if (to - from <= MOST_POINTS) return Array.from({ length: to - from }, (_, index) => from + index);
  const stretches = MOST_POINTS / 2;
  return Array.from({ length: stretches }, (_, index) => {
    const first = from + Math.floor((index * (to - from)) / stretches);
    const end = from + Math.floor(((index + 1) * (to - from)) / stretches);
    let least = first;
    let greatest = first;
    for (let slot = first; slot < end; slot += 1) {
      if ((values[slot] ?? 0) < (values[least] ?? 0)) least = slot;
      if ((values[slot] ?? 0) > (values[greatest] ?? 0)) greatest = slot;
    }
    return least < greatest ? [least, greatest] : [greatest, least];
  }).flat();
}
