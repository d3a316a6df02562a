import { AppError } from '../app-error.ts';
import type { AmplifierProfile } from './amplifier-profile.ts';

export interface LineSample {
  /** Not yet wrapped: the number of the sample since the first. */
  readonly sequence: number;
  readonly timeUs: number;
  readonly counts: number;
  /** Status flags as an unsigned number; left out: none is set. */
  readonly flags?: number;
}

const hexPairs = Array.from({ length: 256 }, (_, value) => value.toString(16).toUpperCase().padStart(2, '0'));

/**
 * Exclusive or of the characters between `$` and `*`, both left out, as two hexadecimal digits in capitals.
 *
 * Source: the published checksum rule of NMEA 0183 sentences; checked in the tests against published sentences.
 */
export function xorChecksum(body: string): string {
  let checksum = 0;
  for (let index = 0; index < body.length; index += 1) checksum ^= body.charCodeAt(index);
  return hexPairs[checksum & 0xff] ?? '';
}

/** How many hexadecimal digits hold every number below this one. */
export function hexDigitsBelow(end: number): number {
  return (end - 1).toString(16).length;
}

/** How many hexadecimal digits the status flags of a profile need for their highest bit. */
export function flagDigits(flags: NonNullable<AmplifierProfile['statusFlags']>): number {
  return hexDigitsBelow(2 ** (Math.max(0, ...flags.bits.map(({ bit }) => bit)) + 1));
}

/**
 * Writes lines as an amplifier of this profile does, line ending included. Hexadecimal numbers are in capitals and as wide
 * as their bits need. Fields the profile does not name hold 0. Counters are wrapped at their moduli, below zero too.
 *
 * Errors: AppError 'profile-invalid' if two meanings share one field; 'input-out-of-range' for counts that two's complement
 * of the profile's bits cannot hold.
 */
export function createLineFormatter(profile: AmplifierProfile): (sample: LineSample) => string {
  const { sequence, deviceTimeUs, statusFlags, countsField, separator, lineEnding } = profile;
  const named = [countsField, sequence?.field, deviceTimeUs?.field, statusFlags?.field];
  const used = named.filter((field) => field !== undefined);
  if (new Set(used).size !== used.length) {
    throw new AppError(
      'profile-invalid',
      `In the profile "${profile.name}" two meanings share one field; no line can carry both. Give each its own field.`,
    );
  }

  const writeCounts = countsWriter(profile);
  const fieldCount = Math.max(...used) + 1;
  const writers = Array.from({ length: fieldCount }, (_, field): ((sample: LineSample) => string) => {
    if (field === countsField) return (sample) => writeCounts(sample.counts);
    if (field === sequence?.field) {
      const write = counterWriter(sequence);
      return (sample) => write(sample.sequence);
    }
    if (field === deviceTimeUs?.field) {
      const write = counterWriter(deviceTimeUs);
      return (sample) => write(sample.timeUs);
    }
    if (field === statusFlags?.field) {
      const isHex = statusFlags.numeral === 'hex';
      const digits = flagDigits(statusFlags);
      return ({ flags = 0 }) => (isHex ? hex(flags, digits) : String(flags));
    }
    return () => '0';
  });

  function formatBody(sample: LineSample): string {
    let body = '';
    for (const [field, write] of writers.entries()) body += (field === 0 ? '' : separator) + write(sample);
    return body;
  }

  if (profile.checksum === 'none') return (sample) => formatBody(sample) + lineEnding;
  return (sample) => {
    const body = formatBody(sample);
    return `$${body}*${xorChecksum(body)}${lineEnding}`;
  };
}

/** A line that shows the form of a profile, without its ending. Errors as `createLineFormatter`. */
export function exampleLine(profile: AmplifierProfile): string {
  const counts = Math.max(-123_456, -(2 ** (profile.converterBits - 1)));
  const line = createLineFormatter(profile)({ sequence: 1042, timeUs: 13_025_000, counts });
  return line.slice(0, line.length - profile.lineEnding.length);
}

function countsWriter(profile: AmplifierProfile): (counts: number) => string {
  const { countsForm } = profile;
  if (countsForm.numeral === 'decimal') return String;
  const end = 2 ** countsForm.bits;
  const digits = hexDigitsBelow(end);
  return (counts) => {
    if (!(counts >= -end / 2 && counts < end / 2)) {
      throw new AppError(
        'input-out-of-range',
        `${counts} does not fit into two's complement of ${countsForm.bits} bits, so no line of the profile "${profile.name}" can carry it.`,
      );
    }
    return hex(counts < 0 ? counts + end : counts, digits);
  };
}

function counterWriter(
  counter: NonNullable<AmplifierProfile['sequence' | 'deviceTimeUs']>,
): (value: number) => string {
  const { modulus, numeral } = counter;
  const digits = hexDigitsBelow(modulus);
  return (value) => {
    const rest = value % modulus;
    const wrapped = rest < 0 ? rest + modulus : rest;
    return numeral === 'hex' ? hex(wrapped, digits) : String(wrapped);
  };
}

function hex(value: number, digits: number): string {
  return value.toString(16).toUpperCase().padStart(digits, '0');
}
