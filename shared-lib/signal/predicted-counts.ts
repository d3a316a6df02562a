import { type BitReader, type BitWriter, createBitReader, createBitWriter, MOST_ONES } from './bit-stream.ts';
import { fitPredictors } from './linear-prediction.ts';

/**
 * Packs counts without loss. Each is foretold from up to 32 before it, and only what is left over is kept, in limited-length
 * Golomb-Rice codes: for a ringing rig with white noise on it, what is left is little more than the noise. The way of the
 * published lossless codecs for sound (RFC 9639, sections 5.4 and 9.2.5 to 9.2.7, from memory); the form is ours.
 *
 * A frame: 6 bits of order; as many weights of 26 bits in units of 2^-20, nearest sample first; then per 64 samples 5 bits of
 * parameter and a code for each. Samples before the first are 0. A forecast is a sum of doubles in a fixed order, rounded down:
 * every JavaScript engine comes to the same one (ECMA-262, IEEE 754), which is all that it takes.
 */
const FRAME = 8192;
const PARTITION = 64;
const ORDERS = [2, 8, 32] as const;
const ORDER_BITS = 6;
const WEIGHT_BITS = 26;
const WEIGHT_UNIT = 2 ** 20;
const PARAMETER_BITS = 5;
const WHOLE_BITS = 32;
/** Forecasts from so many samples or fewer are undone in a quicker way. */
const SHORT_ORDER = 8;
/** Sums of whole numbers up to here are the same doubles in whatever order they are taken. */
const LARGEST_EXACT = 2 ** 53;
/** Ours: a longer forecast takes longer to undo, so it has to save this share. */
const LEAST_SAVING = 0.01;

export function encodePredicted(counts: Int32Array): Uint8Array<ArrayBuffer> {
  const writer = createBitWriter(2 * counts.length);
  for (let from = 0; from < counts.length; from += FRAME) {
    encodeFrame(writer, counts, from, Math.min(from + FRAME, counts.length));
  }
  return writer.bytes();
}

/** The counts that `encodePredicted` was given. Errors: RangeError where `bytes` hold fewer than `count` samples. */
export function decodePredicted(bytes: Uint8Array, count: number): Int32Array {
  const reader = createBitReader(bytes);
  const counts = new Int32Array(count);
  for (let from = 0; from < count; from += FRAME) {
    decodeFrame(reader, counts, from, Math.min(from + FRAME, count));
  }
  return counts;
}

/** What a frame is after a forecast: numbers without sign, and what they take. */
interface Forecast {
  readonly weights: Int32Array;
  readonly folded: Uint32Array;
  readonly parameters: Uint8Array;
  readonly bits: number;
}

function encodeFrame(writer: BitWriter, counts: Int32Array, from: number, end: number): void {
  let best = forecast(counts, from, end, new Int32Array(0));
  for (const weights of fitPredictors(counts, from, end, ORDERS)) {
    const whole = weights && wholeWeights(weights);
    const next = whole && forecast(counts, from, end, whole);
    if (next && next.bits < (1 - LEAST_SAVING) * best.bits) best = next;
  }
  writer.write(best.weights.length, ORDER_BITS);
  for (const weight of best.weights) writer.write(weight, WEIGHT_BITS);
  best.parameters.forEach((parameter, partition) => {
    writer.write(parameter, PARAMETER_BITS);
    const last = Math.min((partition + 1) * PARTITION, best.folded.length);
    for (let i = partition * PARTITION; i < last; i += 1) writeCode(writer, best.folded[i] ?? 0, parameter);
  });
}

function wholeWeights(weights: Float64Array): Int32Array | null {
  const limit = 2 ** (WEIGHT_BITS - 1) - 1;
  const whole = weights.map((weight) => Math.round(weight * WEIGHT_UNIT));
  return whole.every((weight) => Math.abs(weight) <= limit) ? Int32Array.from(whole) : null;
}

/** Wraps to 32 bits where a forecast is that far off, so that every sequence comes back. */
function forecast(counts: Int32Array, from: number, end: number, weights: Int32Array): Forecast {
  const folded = new Uint32Array(end - from);
  for (let t = from; t < end; t += 1) {
    const left = ((counts[t] ?? 0) - predict(counts, t, weights)) | 0;
    folded[t - from] = (left << 1) ^ (left >> 31);
  }
  const parameters = new Uint8Array(Math.ceil(folded.length / PARTITION));
  let bits = ORDER_BITS + weights.length * WEIGHT_BITS;
  for (let partition = 0; partition < parameters.length; partition += 1) {
    const part = folded.subarray(partition * PARTITION, (partition + 1) * PARTITION);
    const { parameter, bits: ofPart } = bestParameter(part);
    parameters[partition] = parameter;
    bits += ofPart;
  }
  return { weights, folded, parameters, bits };
}

function predict(counts: Int32Array, t: number, weights: Int32Array): number {
  let sum = 0;
  const order = Math.min(weights.length, t);
  for (let i = 0; i < order; i += 1) sum += (weights[i] ?? 0) * (counts[t - 1 - i] ?? 0);
  return Math.floor(sum / WEIGHT_UNIT);
}

/** About the mean in its lower bits is best for a geometric distribution; its neighbours are tried. */
function bestParameter(part: Uint32Array): { readonly parameter: number; readonly bits: number } {
  const mean = part.reduce((sum, value) => sum + value, 0) / part.length;
  const guess = Math.max(0, Math.floor(Math.log2(mean + 1)));
  let best = { parameter: 0, bits: Infinity };
  for (let parameter = Math.max(0, guess - 2); parameter <= Math.min(31, guess + 1); parameter += 1) {
    let bits = PARAMETER_BITS;
    for (const value of part) bits += codeBits(value, parameter);
    if (bits < best.bits) best = { parameter, bits };
  }
  return best;
}

function codeBits(value: number, parameter: number): number {
  const ones = value >>> parameter;
  return ones < MOST_ONES ? ones + 1 + parameter : MOST_ONES + WHOLE_BITS;
}

function writeCode(writer: BitWriter, value: number, parameter: number): void {
  const ones = value >>> parameter;
  if (ones < MOST_ONES) {
    writer.write(2 * (2 ** ones - 1), ones + 1);
    writer.write(value, parameter);
  } else {
    writer.write(2 ** MOST_ONES - 1, MOST_ONES);
    writer.write(value, WHOLE_BITS);
  }
}

function decodeFrame(reader: BitReader, counts: Int32Array, from: number, end: number): void {
  const order = reader.read(ORDER_BITS);
  const spareBits = 32 - WEIGHT_BITS;
  const weights = Int32Array.from(
    { length: order },
    () => (reader.read(WEIGHT_BITS) << spareBits) >> spareBits,
  );
  const folded = new Uint32Array(end - from);
  for (let first = 0; first < folded.length; first += PARTITION) {
    reader.readCodes(folded.subarray(first, first + PARTITION), reader.read(PARAMETER_BITS));
  }
  const addBack = order <= SHORT_ORDER ? addShortForecast : addForecast;
  addBack(counts, from, folded, weights);
}

/** Puts back from `start` on what the forecast was and `folded` says was left over. */
function addForecast(counts: Int32Array, start: number, folded: Uint32Array, weights: Int32Array): void {
  for (let i = 0; i < folded.length; i += 1) {
    counts[start + i] = (predict(counts, start + i, weights) + unfold(folded[i] ?? 0)) | 0;
  }
}

/**
 * The same, all of it in local variables, and the newest sample last in the sum, so that the next forecast waits for one
 * addition only. That is another order than the encoder's, so it is left as soon as a sample is too large for exact sums.
 */
function addShortForecast(counts: Int32Array, start: number, folded: Uint32Array, weights: Int32Array): void {
  const largest = LARGEST_EXACT / weights.reduce((sum, weight) => sum + Math.abs(weight), 1);
  const [w0 = 0, w1 = 0, w2 = 0, w3 = 0, w4 = 0, w5 = 0, w6 = 0, w7 = 0] = weights;
  const before = (steps: number): number => counts[start - steps] ?? 0;
  let c0 = before(1);
  let c1 = before(2);
  let c2 = before(3);
  let c3 = before(4);
  let c4 = before(5);
  let c5 = before(6);
  let c6 = before(7);
  let c7 = before(8);
  let isExact = Math.max(...[c0, c1, c2, c3, c4, c5, c6, c7].map(Math.abs)) <= largest;
  let i = 0;
  for (; isExact && i < folded.length; i += 1) {
    const older = w7 * c7 + w6 * c6 + (w5 * c5 + w4 * c4) + (w3 * c3 + w2 * c2 + w1 * c1);
    const forecast = Math.floor((older + w0 * c0) / WEIGHT_UNIT);
    c7 = c6;
    c6 = c5;
    c5 = c4;
    c4 = c3;
    c3 = c2;
    c2 = c1;
    c1 = c0;
    c0 = (forecast + unfold(folded[i] ?? 0)) | 0;
    counts[start + i] = c0;
    isExact = Math.abs(c0) <= largest;
  }
  addForecast(counts, start + i, folded.subarray(i), weights);
}

function unfold(value: number): number {
  return (value >>> 1) ^ -(value & 1);
}
