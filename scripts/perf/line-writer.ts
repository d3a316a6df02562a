import { simulatedCalibration } from '../../shared-lib/simulation/simulated-transducer.ts';

const DOLLAR = 0x24;
const STAR = 0x2a;
const COMMA = 0x2c;
const MINUS = 0x2d;
const DIGIT_0 = 0x30;
const LINE_FEED = 0x0a;
const hexDigits = Buffer.from('0123456789ABCDEF', 'latin1');

/** No line is longer: `$4294967295,4294967295,-8388608*hh` and its end. */
const LONGEST_LINE_BYTES = 36;
const MODULUS = 2 ** 32;

const ZERO_COUNTS = 12_345;
const NOISE_VALUES = 4096;
const BLOWS_PER_S = 30;
const RISE_S = 0.4;

export interface LineWriter {
  /** The next lines as bytes, good until the next call. */
  render(lineCount: number): Uint8Array;
  /** From the next line on and for so long the transducer is under load: up and down between 90 % and all of it. */
  load(torqueNm: number, durationS: number): void;
}

/**
 * Renders "sequence, time, counts, checksum" lines straight into bytes, because a writer at 100 000 lines/s shares two
 * processors with what it measures: about 0.1 us a line, where a string for each costs several times that.
 */
export function createLineWriter(rateHz: number): LineWriter {
  const noise = noiseCounts();
  const blowSamples = Math.round(rateHz / BLOWS_PER_S);
  let bytes = Buffer.alloc(0);
  let sequence = 0;
  let loadCounts = 0;
  let loadFrom = 0;
  let loadTo = 0;

  const countsAt = (index: number): number => {
    const rest = ZERO_COUNTS + (noise[index % NOISE_VALUES] ?? 0);
    if (index < loadFrom || index >= loadTo) return rest;
    const rise = Math.min(1, (index - loadFrom) / (RISE_S * rateHz));
    return rest + Math.round(loadCounts * rise * (0.9 + (0.1 * (index % blowSamples)) / blowSamples));
  };

  return {
    render(lineCount) {
      if (bytes.length < lineCount * LONGEST_LINE_BYTES) bytes = Buffer.alloc(lineCount * LONGEST_LINE_BYTES);
      let end = 0;
      for (let line = 0; line < lineCount; line += 1) {
        const from = end + 1;
        bytes[end] = DOLLAR;
        end = writeNumber(bytes, from, sequence % MODULUS);
        bytes[end] = COMMA;
        end = writeNumber(bytes, end + 1, Math.round((sequence * 1e6) / rateHz) % MODULUS);
        bytes[end] = COMMA;
        end = writeNumber(bytes, end + 1, countsAt(sequence));
        let checksum = 0;
        for (let index = from; index < end; index += 1) checksum ^= bytes[index] ?? 0;
        bytes[end] = STAR;
        bytes[end + 1] = hexDigits[checksum >> 4] ?? 0;
        bytes[end + 2] = hexDigits[checksum & 15] ?? 0;
        bytes[end + 3] = LINE_FEED;
        end += 4;
        sequence += 1;
      }
      return bytes.subarray(0, end);
    },
    load(torqueNm, durationS) {
      loadCounts = torqueNm / simulatedCalibration.forward.gainNmPerCount;
      loadFrom = sequence;
      loadTo = sequence + Math.round(durationS * rateHz);
    },
  };
}

/** Writes a whole number in decimal; returns where it ends. */
function writeNumber(bytes: Buffer, from: number, value: number): number {
  let start = from;
  let rest = value;
  if (rest < 0) {
    bytes[start] = MINUS;
    start += 1;
    rest = -rest;
  }
  let digits = 1;
  for (let power = 10; power <= rest; power *= 10) digits += 1;
  for (let index = start + digits - 1; index >= start; index -= 1) {
    const tenth = Math.floor(rest / 10);
    bytes[index] = DIGIT_0 + rest - 10 * tenth;
    rest = tenth;
  }
  return start + digits;
}

/** The same in every run, nearly normal, s about 59 counts. */
function noiseCounts(): Int32Array {
  let state = 1;
  const uniform = (): number => {
    state = (Math.imul(state, 1_664_525) + 1_013_904_223) >>> 0;
    return state / 2 ** 32 - 0.5;
  };
  return Int32Array.from({ length: NOISE_VALUES }, () =>
    Math.round(102 * (uniform() + uniform() + uniform() + uniform())),
  );
}
