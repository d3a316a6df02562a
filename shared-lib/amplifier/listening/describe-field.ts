import type { HeardField } from '../listening-model.ts';
import { guessModulus, type ModulusGuess } from './guess-modulus.ts';
import { asSigned, hexBits, type NumeralForm } from './read-numeral.ts';
import type { FieldTrack } from './track-fields.ts';

/** What one field seems to be. `varying`: whole numbers that may be the counts. */
export interface FieldFinding {
  readonly field: number;
  readonly form: NumeralForm;
  readonly kind: Exclude<HeardField['guess'], 'counts'> | 'varying';
  readonly reason: string;
  /** Of a sequence or device time; null where it has none that a profile can say. */
  readonly modulus: ModulusGuess | null;
  /** Lines written for each line heard, from a sequence: above 1 where some were lost. */
  readonly linesPerLine: number;
  readonly likeness: CountsLikeness;
}

/** What speaks for a field being the counts. */
export interface CountsLikeness {
  readonly furthestBeyond: number;
  readonly hasNegative: boolean;
  /** Share of the values that are a turning point of the curve: two thirds for noise, little for a counter or a slow one. */
  readonly turningShare: number;
  readonly least: number;
  readonly greatest: number;
}

export interface FieldEvidence {
  readonly field: number;
  readonly form: NumeralForm;
  readonly texts: readonly string[];
  /** Without sign bit, NaN where not readable; as long as `texts`. */
  readonly values: readonly number[];
  readonly track: FieldTrack;
  readonly lineRateHz: number | null;
}

const LEAST_LINES = 10;
const NEARLY_ALL = 0.97;
/** The rest of the steps of a sequence are lines that were lost. */
const ONES_SHARE = 0.7;
const LONGEST_LOSS = 64;
/** At most so many steps of a counter go down: once in the least modulus. */
const MOST_FALLS_SHARE = 1 / 14;
const LEAST_FLAG_LINES = 50;
const MOST_FLAG_VALUES = 8;
const LARGEST_FLAGS = 2 ** 16;
const FLAG_CHANGES_SHARE = 0.1;
const MOST_COUNTS_BITS = 32;
const TIME_TOLERANCE = 0.05;
/** Lines that were lost make the rate of those heard lower than that of the device. */
const TIME_TOLERANCE_OF_LOSSES = 0.25;

/** Position from 1, as a person counts. */
export function fieldName(field: number): string {
  return `Field ${field + 1}`;
}

/** Says what a field is and why. Takes the newest lines in order. */
export function describeField(evidence: FieldEvidence): FieldFinding {
  const { field, form, track } = evidence;
  const values = evidence.values.filter((value) => !Number.isNaN(value));
  const signed = values.map((value) => asSigned(value, form));
  const likeness: CountsLikeness = {
    furthestBeyond: track.furthestBeyond,
    hasNegative: signed.some((value) => value < 0),
    turningShare: turningShare(signed),
    least: minimum(signed),
    greatest: -minimum(signed.map((value) => -value)),
  };
  const finding = (
    kind: FieldFinding['kind'],
    reason: string,
    more: Partial<Pick<FieldFinding, 'modulus' | 'linesPerLine'>> = {},
  ): FieldFinding => ({ field, form, kind, reason, modulus: null, linesPerLine: 1, likeness, ...more });

  if (form.kind === 'text') return finding('text', 'Not a number.');
  const hasVaried = likeness.least < likeness.greatest || (track.spreadBefore ?? 0) > 0;
  if (!hasVaried)
    return finding('constant', `Always ${evidence.texts[evidence.texts.length - 1] ?? ''} so far.`);
  if (form.kind === 'fraction') {
    return finding(
      'unknown',
      'Numbers with decimals: the device has turned its counts into something else already, so they are not raw counts.',
    );
  }
  if (values.length < LEAST_LINES) return finding('unknown', 'Too few lines so far.');

  const steps = values.slice(1).map((value, index) => value - (values[index] ?? 0));
  const mayCount = values.every((value) => value >= 0);
  const counter = mayCount ? (describeSequence(evidence, steps) ?? describeTime(evidence, steps)) : null;
  if (counter) return finding(counter.kind, counter.reason, counter);
  if (isLikeFlags(values, steps)) {
    const distinct = new Set(values).size;
    return finding('statusFlags', `Only ${distinct} small values, which seldom change: status flags.`);
  }
  if (form.kind === 'hex' && form.digits * 4 > MOST_COUNTS_BITS) {
    return finding(
      'unknown',
      `${form.digits} hexadecimal digits are more than the counts of a converter have.`,
    );
  }
  const limit = 2 ** (MOST_COUNTS_BITS - 1);
  if (likeness.least < -limit || likeness.greatest >= limit) {
    return finding('unknown', 'Numbers too large for the counts of a converter of 32 bits.');
  }
  if (form.kind === 'hex' && isOffsetBinary(values, signed, form.digits)) {
    return finding(
      'unknown',
      'Hexadecimal numbers round the middle of their range: counts that are offset by half the range, which a profile cannot say. See whether the device can be set to two’s complement.',
    );
  }
  return finding('varying', 'Whole numbers that vary.');
}

type CounterFinding = Pick<FieldFinding, 'kind' | 'reason' | 'modulus' | 'linesPerLine'>;

function describeSequence(evidence: FieldEvidence, steps: readonly number[]): CounterFinding | null {
  const { form, track, lineRateHz } = evidence;
  const onward = steps.filter((step) => step >= 1 && step <= LONGEST_LOSS);
  const ones = onward.filter((step) => step === 1).length;
  if (ones < ONES_SHARE * steps.length || !isRising(steps, (step) => step >= 1 && step <= LONGEST_LOSS))
    return null;
  const linesPerLine = onward.reduce((sum, step) => sum + step, 0) / onward.length;
  const steady = ones === steps.length ? 'each line' : 'nearly each line';
  const modulus = guessModulus(track, form, 1, lineRateHz);
  if (!modulus) {
    return {
      kind: 'unknown',
      reason: `Goes up by 1 with ${steady}, but starts again at another number than 0, which a profile cannot say: not used.`,
      modulus,
      linesPerLine,
    };
  }
  return {
    kind: 'sequence',
    reason: `Goes up by 1 with ${steady}: a sequence number. ${modulus.reason}`,
    modulus,
    linesPerLine,
  };
}

function describeTime(evidence: FieldEvidence, steps: readonly number[]): CounterFinding | null {
  const { form, track, lineRateHz } = evidence;
  const rising = steps.filter((step) => step >= 0);
  const median = medianOf(rising);
  const usual = rising.filter((step) => step <= 1.5 * median + 1);
  const perLine = usual.reduce((sum, step) => sum + step, 0) / usual.length;
  if (!isRising(steps, (step) => step >= 0) || !(perLine > 0)) return null;
  const unusable = (reason: string): CounterFinding => ({
    kind: 'unknown',
    reason,
    modulus: null,
    linesPerLine: 1,
  });
  if (lineRateHz === null) return unusable('Goes up steadily; listen on to learn its unit.');
  const unitsPerS = perLine * lineRateHz;
  if (isNear(unitsPerS, 1e6)) {
    const modulus = guessModulus(track, form, median, lineRateHz);
    if (!modulus) return unusable('A clock in microseconds that does not start again at 0: not used.');
    return {
      kind: 'deviceTime',
      reason: `Goes up by ${Math.round(perLine)} with each line, which is the time between lines in microseconds: the time of the device. ${modulus.reason}`,
      modulus,
      linesPerLine: 1,
    };
  }
  if (isNear(unitsPerS, 1e3)) {
    return unusable(
      'The time of the device in milliseconds: too coarse to place samples, and a profile takes microseconds only. Not used.',
    );
  }
  return {
    kind: 'varying',
    reason: `Goes up by about ${toDigits(perLine)} with each line: neither a sequence number nor a time in microseconds.`,
    modulus: null,
    linesPerLine: 1,
  };
}

/** Nearly all steps satisfy the condition, but for the falls of a counter that starts again. */
function isRising(steps: readonly number[], isOnward: (step: number) => boolean): boolean {
  const onward = steps.filter(isOnward).length;
  const falls = steps.filter((step) => step < 0).length;
  return (
    onward > 0 &&
    falls <= Math.max(1, MOST_FALLS_SHARE * steps.length) &&
    onward + falls >= NEARLY_ALL * steps.length
  );
}

function isNear(unitsPerS: number, expected: number): boolean {
  const ratio = unitsPerS / expected;
  return ratio <= 1 + TIME_TOLERANCE && ratio >= 1 - TIME_TOLERANCE_OF_LOSSES;
}

function isLikeFlags(values: readonly number[], steps: readonly number[]): boolean {
  if (values.length < LEAST_FLAG_LINES || values.some((value) => value < 0 || value >= LARGEST_FLAGS))
    return false;
  const changes = steps.filter((step) => step !== 0).length;
  return new Set(values).size <= MOST_FLAG_VALUES && changes <= FLAG_CHANGES_SHARE * values.length;
}

/** As two's complement they leap from end to end, without sign bit they keep together. */
function isOffsetBinary(unsigned: readonly number[], signed: readonly number[], digits: number): boolean {
  const range = 2 ** hexBits(digits);
  const span = (values: readonly number[]): number =>
    -minimum(values.map((value) => -value)) - minimum(values);
  return span(signed) > 0.9 * range && span(unsigned) < 0.5 * range;
}

function turningShare(values: readonly number[]): number {
  let turns = 0;
  let before = 0;
  let previous = values[0] ?? 0;
  for (const value of values) {
    const step = value - previous;
    if (step * before < 0) turns += 1;
    before = step;
    previous = value;
  }
  return turns / Math.max(1, values.length - 2);
}

function minimum(values: readonly number[]): number {
  return values.reduce((least, value) => Math.min(least, value), Infinity);
}

function medianOf(values: readonly number[]): number {
  return [...values].sort((one, other) => one - other)[Math.floor(values.length / 2)] ?? Number.NaN;
}

export function toDigits(value: number): string {
  return String(Number(value.toPrecision(3)));
}
