import { NotAPackage } from './not-a-package.ts';
import { isNumberText } from './read-rows.ts';

/** Two columns of numbers, row by row in one array: left, right, left, right. */
export type Pairs = Float64Array;

const [LINE_FEED, CARRIAGE_RETURN, COMMA, MINUS, ZERO] = [10, 13, 44, 45, 48];
/** So many digits are a whole number that adding them up does not round. */
const EXACT_DIGITS = 15;
/** As text a number has 25 signs at most. */
const MOST_SIGNS = 40;
/** A digit, a comma, a digit and what ends the line. */
const LEAST_BYTES_OF_LINE = 4;
const MOST_SHOWN = 60;

/**
 * Two columns of numbers, as counts and arrivals have them, straight from the bytes of the file: such files are most of a package, and
 * the longest record allowed is more than fits in one text.
 *
 * `most`: so many slots the record has. Errors: NotAPackage where there are more lines than that, or naming the line that is not two
 * numbers.
 */
export function readPairs(csv: Uint8Array, header: string, fileName: string, most: number): Pairs {
  const endOfHeader = endOfLine(csv, 0);
  // One byte more than it may have tells whether it goes on.
  if (lineText(csv, 0, endOfHeader, header.length + 1) !== header) {
    throw new NotAPackage(fileName, `The header is not "${header}".`);
  }
  const lineCount = countLines(csv, endOfHeader + 1);
  if (lineCount > most) {
    throw new NotAPackage(
      fileName,
      `It has ${lineCount} lines of numbers, and the record has ${most} slots.`,
    );
  }
  // Lines that are none take no memory: the first of them is refused.
  const room = Math.min(lineCount, Math.ceil(csv.length / LEAST_BYTES_OF_LINE));
  const pairs = new Float64Array(2 * room);
  let count = 0;
  for (let at = endOfHeader + 1; at < csv.length;) {
    let comma = at;
    while (comma < csv.length && csv[comma] !== COMMA && csv[comma] !== LINE_FEED) comma += 1;
    let end = comma;
    while (end < csv.length && csv[end] !== LINE_FEED) end += 1;
    const left = csv[comma] === COMMA ? numberIn(csv, at, comma) : Number.NaN;
    const right = numberIn(csv, comma + 1, withoutReturn(csv, comma + 1, end));
    if (Number.isNaN(left) || Number.isNaN(right)) {
      const line = lineText(csv, at, end, MOST_SHOWN);
      throw new NotAPackage(fileName, `Line ${count / 2 + 2} is not two numbers: "${line}".`);
    }
    pairs[count] = left;
    pairs[count + 1] = right;
    count += 2;
    at = end + 1;
  }
  return pairs;
}

/** NaN: it is none. */
function numberIn(csv: Uint8Array, from: number, end: number): number {
  if (end - from > MOST_SIGNS) return Number.NaN;
  const isNegative = csv[from] === MINUS;
  const first = isNegative ? from + 1 : from;
  if (end <= first || end - first > EXACT_DIGITS) return numberOfText(asciiText(csv, from, end));
  let value = 0;
  for (let at = first; at < end; at += 1) {
    const digit = (csv[at] ?? 0) - ZERO;
    if (digit < 0 || digit > 9) return numberOfText(asciiText(csv, from, end));
    value = 10 * value + digit;
  }
  return isNegative ? -value : value;
}

function numberOfText(text: string): number {
  return isNumberText(text) ? Number(text) : Number.NaN;
}

function countLines(csv: Uint8Array, from: number): number {
  let count = 0;
  for (let at = from; at < csv.length; at += 1) if (csv[at] === LINE_FEED) count += 1;
  return from < csv.length && csv.at(-1) !== LINE_FEED ? count + 1 : count;
}

function endOfLine(csv: Uint8Array, from: number): number {
  const end = csv.indexOf(LINE_FEED, from);
  return end === -1 ? csv.length : end;
}

function withoutReturn(csv: Uint8Array, from: number, end: number): number {
  return end > from && csv[end - 1] === CARRIAGE_RETURN ? end - 1 : end;
}

function lineText(csv: Uint8Array, from: number, end: number, most: number): string {
  return asciiText(csv, from, Math.min(from + most, withoutReturn(csv, from, end)));
}

/** Whatever is no ASCII is no part of a number, and stands as the replacement character. */
function asciiText(csv: Uint8Array, from: number, end: number): string {
  let text = '';
  for (const byte of csv.subarray(from, end)) text += byte < 0x80 ? String.fromCharCode(byte) : '\uFFFD';
  return text;
}
