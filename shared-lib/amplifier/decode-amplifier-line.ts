import type { AmplifierProfile } from './amplifier-profile.ts';

/** One line's numbers; `flags` without a sign. NaN where the profile has no such field. */
export interface DecodedLine {
  counts: number;
  sequence: number;
  timeUs: number;
  flags: number;
}

/** `beyondRails`: a sound line whose counts no converter of this profile can give. */
export type LineProblem = 'badLine' | 'badChecksum' | 'beyondRails';

const TAB = 0x09;
const DOLLAR = 0x24;
const SPACE = 0x20;
const PLUS = 0x2b;
const MINUS = 0x2d;
const DIGIT_0 = 0x30;
const DIGIT_9 = 0x39;
const SMALL_X = 0x78;

const FLAGS_END = 2 ** 32;

/**
 * The character at which a stream is cut into lines. `\n` also ends lines of `\r\n`, so that both may be mixed: the
 * decoder passes over what is left of an ending.
 */
export function delimiterOf(profile: Pick<AmplifierProfile, 'lineEnding'>): '\n' | '\r' {
  return profile.lineEnding === '\r' ? '\r' : '\n';
}

/**
 * Makes the decoder for one profile: `decode(line, into)` fills `into` and returns null, or says what is wrong with the
 * line. `into` is whole after null and after 'beyondRails' (its counts are then the number in the line) and undefined in
 * content after anything else. The line comes without its ending; a stray carriage return or line feed is allowed.
 *
 * Blanks around the line and around numbers are passed over; where blanks separate, a run of them is one separator.
 * Hexadecimal digits may be of either case, without leading zeros and behind `0x`; as counts they are two's complement.
 * It scans character codes into a reused object because it runs once per sample, up to 100 000 times a second.
 * Checksum: NMEA 0183, exclusive or of all characters between `$` and `*`, as two hexadecimal digits after `*`.
 */
export function createLineDecoder(
  profile: AmplifierProfile,
): (line: string, into: DecodedLine) => LineProblem | null {
  const { sequence, deviceTimeUs, statusFlags, countsField, countsForm } = profile;
  const separator = profile.separator.charCodeAt(0);
  const areBlanksOne = separator === SPACE;
  // A leading tab is an empty first field where tabs separate.
  const keptBlank = separator === TAB ? TAB : -1;
  const hasChecksum = profile.checksum === 'xor';
  const lowestCount = -(2 ** (profile.converterBits - 1));
  const highestCount = 2 ** (profile.converterBits - 1) - 1;
  const countsBits = countsForm.numeral === 'hex' ? countsForm.bits : 0;
  const sequenceField = sequence?.field ?? -1;
  const sequenceModulus = sequence?.modulus ?? 0;
  const isSequenceHex = sequence?.numeral === 'hex';
  const timeField = deviceTimeUs?.field ?? -1;
  const timeModulus = deviceTimeUs?.modulus ?? 0;
  const isTimeHex = deviceTimeUs?.numeral === 'hex';
  const flagsField = statusFlags?.field ?? -1;
  const areFlagsHex = statusFlags?.numeral === 'hex';
  const lastField = Math.max(countsField, sequenceField, timeField, flagsField);

  return (line, into) => {
    let start = 0;
    let end = line.length;
    while (end > 0 && line.charCodeAt(end - 1) <= SPACE) end -= 1;
    for (let code = line.charCodeAt(0); start < end && code <= SPACE && code !== keptBlank;) {
      start += 1;
      code = line.charCodeAt(start);
    }
    if (hasChecksum) {
      const star = end - 3;
      if (star <= start || line.charCodeAt(start) !== DOLLAR || line[star] !== '*') return 'badLine';
      const stated = hexDigit(line.charCodeAt(star + 1)) * 16 + hexDigit(line.charCodeAt(star + 2));
      if (Number.isNaN(stated)) return 'badLine';
      let computed = 0;
      for (let index = start + 1; index < star; index += 1) computed ^= line.charCodeAt(index);
      if (computed !== stated) return 'badChecksum';
      start += 1;
      end = star;
    }

    into.counts = Number.NaN;
    into.sequence = Number.NaN;
    into.timeUs = Number.NaN;
    into.flags = Number.NaN;
    for (let field = 0, from = start; field <= lastField; field += 1) {
      if (areBlanksOne) while (from < end && line.charCodeAt(from) === SPACE) from += 1;
      if (from > end) return 'badLine';
      let to = from;
      while (to < end && line.charCodeAt(to) !== separator) to += 1;
      if (field === countsField) {
        into.counts =
          countsBits === 0 ? parseDecimal(line, from, to) : parseTwosComplement(line, from, to, countsBits);
      } else if (field === sequenceField) {
        into.sequence = isSequenceHex ? parseHex(line, from, to) : parseDecimal(line, from, to);
      } else if (field === timeField) {
        into.timeUs = isTimeHex ? parseHex(line, from, to) : parseDecimal(line, from, to);
      } else if (field === flagsField) {
        into.flags = areFlagsHex ? parseHex(line, from, to) : parseDecimal(line, from, to);
      }
      from = to + 1;
    }

    if (Number.isNaN(into.counts)) return 'badLine';
    if (sequenceField >= 0 && !(into.sequence >= 0 && into.sequence < sequenceModulus)) return 'badLine';
    if (timeField >= 0 && !(into.timeUs >= 0 && into.timeUs < timeModulus)) return 'badLine';
    if (flagsField >= 0 && !(into.flags >= 0 && into.flags < FLAGS_END)) return 'badLine';
    return into.counts >= lowestCount && into.counts <= highestCount ? null : 'beyondRails';
  };
}

/** NaN unless the whole span is one decimal whole number of at most 15 digits, with spaces allowed around it. */
function parseDecimal(line: string, from: number, to: number): number {
  while (from < to && line.charCodeAt(from) === SPACE) from += 1;
  while (to > from && line.charCodeAt(to - 1) === SPACE) to -= 1;
  const sign = line.charCodeAt(from);
  if (sign === MINUS || sign === PLUS) from += 1;
  if (from >= to || to - from > 15) return Number.NaN;
  let value = 0;
  for (let index = from; index < to; index += 1) {
    const code = line.charCodeAt(index);
    if (code < DIGIT_0 || code > DIGIT_9) return Number.NaN;
    value = value * 10 + (code - DIGIT_0);
  }
  return sign === MINUS ? -value : value;
}

/** NaN unless the whole span is one hexadecimal number of at most 16 digits, with spaces allowed around it. */
function parseHex(line: string, from: number, to: number): number {
  while (from < to && line.charCodeAt(from) === SPACE) from += 1;
  while (to > from && line.charCodeAt(to - 1) === SPACE) to -= 1;
  const isPrefixed = line.charCodeAt(from) === DIGIT_0 && (line.charCodeAt(from + 1) | 0x20) === SMALL_X;
  if (isPrefixed) from += 2;
  if (from >= to || to - from > 16) return Number.NaN;
  let value = 0;
  // A letter that is no digit is NaN, and stays it.
  for (let index = from; index < to; index += 1) value = value * 16 + hexDigit(line.charCodeAt(index));
  return value;
}

/** NaN too where the number has more than so many bits: it is then no two's complement of that width. */
function parseTwosComplement(line: string, from: number, to: number, bits: number): number {
  const value = parseHex(line, from, to);
  const end = 2 ** bits;
  if (!(value < end)) return Number.NaN;
  return value < end / 2 ? value : value - end;
}

function hexDigit(code: number): number {
  if (code >= DIGIT_0 && code <= DIGIT_9) return code - DIGIT_0;
  const letter = code | 0x20;
  return letter >= 0x61 && letter <= 0x66 ? letter - 0x57 : Number.NaN;
}
