import { AppError } from '../app-error.ts';
import type { AmplifierProfile } from './amplifier-profile.ts';

export interface LineSample {
  /** Not yet wrapped: the number of the sample since the first. */
  readonly sequence: number;
  readonly timeUs: number;
  readonly counts: number;
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

/**
 * Writes lines as an amplifier of this profile does, line ending included. Fields the profile does not name hold 0.
 *
 * Errors: AppError 'profile-invalid' if two meanings share one field.
 */
export function createLineFormatter(profile: AmplifierProfile): (sample: LineSample) => string {
  const { sequence, deviceTimeUs, countsField, separator, lineEnding } = profile;
  const used = [countsField, sequence?.field, deviceTimeUs?.field].filter((field) => field !== undefined);
  if (new Set(used).size !== used.length) {
    throw new AppError(
      'profile-invalid',
      `In the profile "${profile.name}" two meanings share one field; no line can carry both. Give each its own field.`,
    );
  }

  const fieldCount = Math.max(...used) + 1;
  const writers = Array.from({ length: fieldCount }, (_, field): ((sample: LineSample) => number) => {
    if (field === countsField) return (sample) => sample.counts;
    if (field === sequence?.field) return (sample) => sample.sequence % sequence.modulus;
    if (field === deviceTimeUs?.field) return (sample) => sample.timeUs % deviceTimeUs.modulus;
    return () => 0;
  });

  function formatBody(sample: LineSample): string {
    let body = '';
    for (const [field, write] of writers.entries())
      body += (field === 0 ? '' : separator) + String(write(sample));
    return body;
  }

  if (profile.checksum === 'none') return (sample) => formatBody(sample) + lineEnding;
  return (sample) => {
    const body = formatBody(sample);
    return `$${body}*${xorChecksum(body)}${lineEnding}`;
  };
}
