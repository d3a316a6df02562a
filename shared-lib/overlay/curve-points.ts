/** Least and greatest torque of bins in order of time; `timeS` is from onset, of a bin's middle. */
export interface CurvePoints {
  readonly timeS: Float64Array;
  readonly minNm: Float64Array;
  readonly maxNm: Float64Array;
}

/** More than twice the columns of any picture, so that joining bins is never seen. */
const MOST_POINTS = 20_000;

/** A run so far, kept small: beyond so many bins neighbours are joined, and nothing of least and greatest is lost. */
export class GrowingCurve {
  readonly #mostPoints: number;
  #timeS: number[] = [];
  #minNm: number[] = [];
  #maxNm: number[] = [];
  /** Bins joined into one, a power of two; those that wait for their fellows. */
  #joined = 1;
  #waiting: { readonly timeS: number[]; minNm: number; maxNm: number } = emptyBin();

  constructor(mostPoints = MOST_POINTS) {
    this.#mostPoints = mostPoints;
  }

  clear(): void {
    this.#timeS = [];
    this.#minNm = [];
    this.#maxNm = [];
    this.#joined = 1;
    this.#waiting = emptyBin();
  }

  append({ timeS, minNm, maxNm }: CurvePoints): void {
    for (let index = 0; index < timeS.length; index += 1) {
      this.#take(timeS[index] ?? Number.NaN, minNm[index] ?? Number.NaN, maxNm[index] ?? Number.NaN);
    }
  }

  points(): CurvePoints {
    const { timeS, minNm, maxNm } = this.#waiting;
    const isAnyWaiting = timeS.length > 0;
    return {
      timeS: Float64Array.from(isAnyWaiting ? [...this.#timeS, meanOf(timeS)] : this.#timeS),
      minNm: Float64Array.from(isAnyWaiting ? [...this.#minNm, minNm] : this.#minNm),
      maxNm: Float64Array.from(isAnyWaiting ? [...this.#maxNm, maxNm] : this.#maxNm),
    };
  }

  #take(timeS: number, minNm: number, maxNm: number): void {
    const waiting = this.#waiting;
    waiting.timeS.push(timeS);
    waiting.minNm = joinLeast(waiting.minNm, minNm);
    waiting.maxNm = joinGreatest(waiting.maxNm, maxNm);
    if (waiting.timeS.length < this.#joined) return;
    this.#timeS.push(meanOf(waiting.timeS));
    this.#minNm.push(waiting.minNm);
    this.#maxNm.push(waiting.maxNm);
    this.#waiting = emptyBin();
    if (this.#timeS.length >= this.#mostPoints) this.#joinNeighbours();
  }

  #joinNeighbours(): void {
    const { timeS, minNm, maxNm } = this.points();
    const half = Math.floor(timeS.length / 2);
    const pairs = (join: (first: number, second: number) => number, values: Float64Array): number[] =>
      Array.from({ length: half }, (_, index) =>
        join(values[2 * index] ?? Number.NaN, values[2 * index + 1] ?? Number.NaN),
      );
    this.#timeS = pairs((first, second) => (first + second) / 2, timeS);
    this.#minNm = pairs(joinLeast, minNm);
    this.#maxNm = pairs(joinGreatest, maxNm);
    if (timeS.length % 2 === 1) {
      // The odd one waits for its fellow.
      this.#waiting = {
        timeS: new Array<number>(this.#joined).fill(timeS.at(-1) ?? Number.NaN),
        minNm: minNm.at(-1) ?? Number.NaN,
        maxNm: maxNm.at(-1) ?? Number.NaN,
      };
    }
    this.#joined *= 2;
  }
}

function emptyBin(): { readonly timeS: number[]; minNm: number; maxNm: number } {
  return { timeS: [], minNm: Number.NaN, maxNm: Number.NaN };
}

function meanOf(values: readonly number[]): number {
  return values.reduce((sum, value) => sum + value, 0) / values.length;
}

/** NaN: no sample in it. */
function joinLeast(first: number, second: number): number {
  return Number.isNaN(first) ? second : Number.isNaN(second) ? first : Math.min(first, second);
}

function joinGreatest(first: number, second: number): number {
  return Number.isNaN(first) ? second : Number.isNaN(second) ? first : Math.max(first, second);
}
