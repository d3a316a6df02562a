/** `above`: the curve must exceed the level. `reaching`: it may also stand exactly on it. */
export interface HeldCrossingOptions {
  readonly levelNm: number;
  readonly holdSamples: number;
  readonly mode: 'above' | 'reaching';
}

export interface HeldCrossing {
  /** Takes the curve's next value; positions advance by one. Returns the crossing once it has been held, else null. */
  push(position: number, valueNm: number): number | null;
}

/**
 * Finds where a curve crosses a level upwards and holds it: the first of `holdSamples` consecutive values beyond the
 * level, none of them NaN. The crossing is interpolated on the straight line from the value before; where there is no value
 * before (the curve's start, or a gap), it is the position of the first value itself.
 */
export function createHeldCrossing({ levelNm, holdSamples, mode }: HeldCrossingOptions): HeldCrossing {
  let heldSamples = 0;
  let crossing = 0;
  let previousNm = Number.NaN;
  return {
    push(position, valueNm) {
      const isBeyond = mode === 'above' ? valueNm > levelNm : valueNm >= levelNm;
      if (!isBeyond) {
        heldSamples = 0;
      } else {
        if (heldSamples === 0) {
          const share = (levelNm - previousNm) / (valueNm - previousNm);
          crossing = Number.isNaN(previousNm) ? position : position - 1 + share;
        }
        heldSamples += 1;
      }
      previousNm = valueNm;
      return heldSamples >= holdSamples ? crossing : null;
    },
  };
}

/** How long onset and time to level must be held: 100 ms at the nominal rate, at least 5 samples. */
export function crossingHoldSamples(nominalRateHz: number): number {
  return Math.max(5, Math.round(0.1 * nominalRateHz));
}
