import { AppError } from '../app-error.ts';
import { createLiveMeasuringCurve, type LiveMeasuringCurve } from '../signal/live-measuring-curve.ts';
import { measuringWindowSamples, MIN_MEASURING_RATE_HZ } from '../signal/measuring-curve.ts';
import { createHeldCrossing, crossingHoldSamples } from './held-crossing.ts';

export interface LiveOnsetOptions {
  readonly levelNm: number;
  readonly nominalRateHz: number;
  /** 1 for a forward step, -1 for a reverse one. */
  readonly directionSign: 1 | -1;
  /** True: torque in the other direction is not looked at, whatever comes first. */
  readonly isOneWay?: boolean;
}

export type LiveOnset = { readonly onsetSlot: number } | { readonly wrongDirection: true };

export interface LiveOnsetDetector {
  /**
   * Takes the torque of the slots from `firstSlot` on, positive for forward; NaN where a sample was lost. Slots may be
   * left out (nothing was received) but not repeated. Reports once, then null for ever: a new trial takes a new detector.
   */
  push(firstSlot: number, torqueNm: Float64Array): LiveOnset | null;
}

/**
 * Whether torque had begun before the go, though its onset was found after it. A step reads up to half a measuring window
 * and a sample early (it is interpolated from the window before), so what lies no further before the go may have begun with
 * it. Slots on one axis; `goSlot` is the first after the go.
 */
export function hasBegunBeforeGo(onsetSlot: number, goSlot: number, nominalRateHz: number): boolean {
  const windowSamples = measuringWindowSamples(nominalRateHz) ?? 1;
  return onsetSlot < goSlot - (windowSamples + 1) / 2;
}

/**
 * Watches a stream for onset, by the definition of `findOnset`, and for the same in the wrong direction (the measuring
 * curve under minus the level for as long). It knows half a measuring window and the hold later, about 150 ms.
 *
 * Errors: AppError 'rate-too-low' under 36 Sa/s, where there is no measuring curve.
 */
export function createLiveOnsetDetector({
  levelNm,
  nominalRateHz,
  directionSign,
  isOneWay = false,
}: LiveOnsetOptions): LiveOnsetDetector {
  const windowSamples = measuringWindowSamples(nominalRateHz);
  if (windowSamples === null) {
    throw new AppError(
      'rate-too-low',
      `Onset cannot be found at ${nominalRateHz} Sa/s; a trial needs at least ${MIN_MEASURING_RATE_HZ} Sa/s. ` +
        'Nothing was recorded; set the amplifier to a higher rate.',
    );
  }
  const half = (windowSamples - 1) / 2;
  const crossingOptions = {
    levelNm,
    holdSamples: crossingHoldSamples(nominalRateHz),
    mode: 'above',
  } as const;
  const rightWay = createHeldCrossing(crossingOptions);
  const wrongWay = isOneWay ? null : createHeldCrossing(crossingOptions);

  let curve: LiveMeasuringCurve = createLiveMeasuringCurve(windowSamples);
  let startSlot = 0;
  let nextSlot: number | null = null;
  let isDone = false;

  const restartAt = (slot: number): void => {
    curve = createLiveMeasuringCurve(windowSamples);
    startSlot = slot;
    nextSlot = slot;
  };

  const advance = (fromSlot: number, torqueNm: Float64Array): LiveOnset | null => {
    nextSlot = fromSlot + torqueNm.length;
    for (let index = 0; index < torqueNm.length; index += 1) {
      const stepTorqueNm = directionSign * curve.push(torqueNm[index] ?? Number.NaN);
      const centre = fromSlot + index - half;
      if (centre < startSlot) continue;
      const onsetSlot = rightWay.push(centre, stepTorqueNm);
      if (onsetSlot !== null) return { onsetSlot };
      const wrongOnset = wrongWay?.push(centre, -stepTorqueNm) ?? null;
      if (wrongOnset !== null) return { wrongDirection: true };
    }
    return null;
  };

  return {
    push(firstSlot, torqueNm) {
      if (isDone) return null;
      if (nextSlot === null) restartAt(firstSlot);
      const expectedSlot = nextSlot ?? firstSlot;
      const missing = firstSlot - expectedSlot;
      if (missing < 0)
        throw new RangeError(`Slot ${firstSlot} was pushed already; the next one is ${expectedSlot}.`);

      // A gap as long as the window ends every window that began before it, so more of it changes nothing.
      const gap = new Float64Array(Math.min(missing, windowSamples)).fill(Number.NaN);
      const inGap = gap.length === 0 ? null : advance(expectedSlot, gap);
      if (missing > windowSamples) restartAt(firstSlot);
      const found = inGap ?? advance(firstSlot, torqueNm);
      isDone = found !== null;
      return found;
    },
  };
}
