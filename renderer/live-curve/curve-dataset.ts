import type { LiveCurve } from '../../shared-lib/bench-status.ts';

/**
 * Bins kept of the live curve. At the 1 000 bins/s of a fast amplifier that is 131 s, the longest run (120 s) with its
 * second before and after; 1 MB for both arrays.
 */
export const CAPACITY_BINS = 131_072;

/**
 * The newest bins of the live curve in two rings, outside React. NaN is "no sample in this bin" and nothing else.
 *
 * Bin numbers are those of the service: bin i covers slots i * samplesPerBin and on.
 */
export class CurveDataset {
  readonly #capacity: number;
  readonly #min: Float32Array;
  readonly #max: Float32Array;
  #generation: number | null = null;
  #startBin = 0;
  #endBin = 0;
  #quantity: LiveCurve['quantity'] = 'counts';
  #sampleRateHz = 1;
  #samplesPerBin = 1;

  constructor(capacity: number = CAPACITY_BINS) {
    this.#capacity = capacity;
    this.#min = new Float32Array(capacity);
    this.#max = new Float32Array(capacity);
  }

  /** Null until the first piece has come; another number is another curve, of which nothing earlier is left. */
  get generation(): number | null {
    return this.#generation;
  }
  get quantity(): LiveCurve['quantity'] {
    return this.#quantity;
  }
  get sampleRateHz(): number {
    return this.#sampleRateHz;
  }
  get samplesPerBin(): number {
    return this.#samplesPerBin;
  }
  /** The oldest bin that is held. */
  get startBin(): number {
    return this.#startBin;
  }
  /** One past the newest bin. */
  get endBin(): number {
    return this.#endBin;
  }
  /** One past the newest slot, as far as complete bins tell. */
  get endSlot(): number {
    return this.#endBin * this.#samplesPerBin;
  }

  /** Pieces may have been missed (their bins become NaN) and may overlap (what is held already stays). */
  append(piece: LiveCurve): void {
    if (piece.generation !== this.#generation || piece.samplesPerBin !== this.#samplesPerBin) {
      this.#begin(piece);
    }
    this.#sampleRateHz = piece.sampleRateHz;
    if (piece.firstBin - this.#endBin > this.#capacity) {
      this.#startBin = this.#endBin = piece.firstBin;
    }
    while (this.#endBin < piece.firstBin) {
      this.#push(Number.NaN, Number.NaN);
    }
    for (let index = this.#endBin - piece.firstBin; index < piece.min.length; index += 1) {
      this.#push(piece.min[index] ?? Number.NaN, piece.max[index] ?? Number.NaN);
    }
  }

  /** NaN outside of what is held. */
  minAt(bin: number): number {
    return this.#isHeld(bin) ? (this.#min[bin % this.#capacity] ?? Number.NaN) : Number.NaN;
  }

  maxAt(bin: number): number {
    return this.#isHeld(bin) ? (this.#max[bin % this.#capacity] ?? Number.NaN) : Number.NaN;
  }

  /** Least and greatest value of the bins from `fromBin` up to, not including, `toBin`; null where there is no sample. */
  rangeOf(fromBin: number, toBin: number): { readonly min: number; readonly max: number } | null {
    let min = Number.POSITIVE_INFINITY;
    let max = Number.NEGATIVE_INFINITY;
    const end = Math.min(toBin, this.#endBin);
    for (let bin = Math.max(fromBin, this.#startBin); bin < end; bin += 1) {
      const low = this.#min[bin % this.#capacity] ?? Number.NaN;
      const high = this.#max[bin % this.#capacity] ?? Number.NaN;
      if (low < min) min = low;
      if (high > max) max = high;
    }
    return min > max ? null : { min, max };
  }

  #begin(piece: LiveCurve): void {
    this.#generation = piece.generation;
    this.#quantity = piece.quantity;
    this.#samplesPerBin = piece.samplesPerBin;
    this.#startBin = this.#endBin = piece.firstBin;
  }

  #push(min: number, max: number): void {
    const position = this.#endBin % this.#capacity;
    this.#min[position] = min;
    this.#max[position] = max;
    this.#endBin += 1;
    if (this.#endBin - this.#startBin > this.#capacity) this.#startBin += 1;
  }

  #isHeld(bin: number): boolean {
    return bin >= this.#startBin && bin < this.#endBin;
  }
}
