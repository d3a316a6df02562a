import { z } from 'zod';
import { AppError } from '../app-error.ts';
import { amplifierProfileSchema } from './amplifier-profile.ts';

// Part of every JavaScript engine and absent from the language's own library types.
declare const TextEncoder: new () => { encode(text: string): Uint8Array };
declare const TextDecoder: new (
  label: string,
  options: { fatal: boolean },
) => { decode(bytes: Uint8Array): string };

/**
 * A capture: the bytes of a port as they came, with the time between them.
 *
 * First line: the header as JSON in UTF-8, ended by "\n". Then records, each: microseconds since the record before (u32, little
 * endian; since the start for the first), number of bytes (u32, little endian), the bytes. A record without bytes only
 * lets time pass.
 */
export const captureHeaderSchema = z.strictObject({
  format: z.literal('serial-capture'),
  version: z.literal(1),
  /** ISO 8601. */
  startedAt: z.string(),
  path: z.string(),
  profile: amplifierProfileSchema,
});
export type CaptureHeader = z.infer<typeof captureHeaderSchema>;

export interface CaptureRecord {
  readonly sinceLastUs: number;
  readonly bytes: Uint8Array;
}

/** No port hands over more at once; a greater length in a file is not one. */
export const LONGEST_RECORD_BYTES = 1024 * 1024;
const LONGEST_HEADER_BYTES = 64 * 1024;
const RECORD_HEAD_BYTES = 8;
const LONGEST_WAIT_US = 2 ** 32 - 1;
const LINE_FEED = 10;

export function encodeCaptureHeader(header: CaptureHeader): Uint8Array {
  return new TextEncoder().encode(`${JSON.stringify(header)}\n`);
}

/**
 * One chunk as records: as a rule one, more where the wait or the chunk is too long for one.
 *
 * Errors: RangeError where `sinceLastUs` is negative or not finite.
 */
export function encodeCaptureRecord({ sinceLastUs, bytes }: CaptureRecord): Uint8Array {
  if (!(sinceLastUs >= 0 && Number.isFinite(sinceLastUs))) {
    throw new RangeError(`No time between records: ${sinceLastUs}`);
  }
  const waitUs = Math.round(sinceLastUs);
  const fullWaits = Math.max(0, Math.ceil(waitUs / LONGEST_WAIT_US) - 1);
  const pieces = Math.max(1, Math.ceil(bytes.length / LONGEST_RECORD_BYTES));
  const image = new Uint8Array((fullWaits + pieces) * RECORD_HEAD_BYTES + bytes.length);
  const view = new DataView(image.buffer);
  let at = 0;
  const write = (recordWaitUs: number, piece: Uint8Array): void => {
    view.setUint32(at, recordWaitUs, true);
    view.setUint32(at + 4, piece.length, true);
    image.set(piece, at + RECORD_HEAD_BYTES);
    at += RECORD_HEAD_BYTES + piece.length;
  };
  for (let wait = 0; wait < fullWaits; wait += 1) write(LONGEST_WAIT_US, bytes.subarray(0, 0));
  for (let piece = 0; piece < pieces; piece += 1) {
    const from = piece * LONGEST_RECORD_BYTES;
    write(
      piece === 0 ? waitUs - fullWaits * LONGEST_WAIT_US : 0,
      bytes.subarray(from, from + LONGEST_RECORD_BYTES),
    );
  }
  return image;
}

export interface CaptureReader {
  /** Null until the whole first line has been pushed. */
  header(): CaptureHeader | null;
  /** To be asked at the end of the file. Errors: AppError 'capture-damaged' where there was no whole first line. */
  finishedHeader(): CaptureHeader;
  /** The next piece of the file; returns the records that are whole now. */
  push(chunk: Uint8Array): CaptureRecord[];
}

/**
 * Reads a capture piece by piece, so that a file of any size needs no more memory than its longest record. What is left at
 * the end of the file is a record that was cut off, as a power cut leaves it, and is no error.
 *
 * Errors: AppError 'capture-damaged' where the header or a length cannot be one.
 */
export function createCaptureReader(): CaptureReader {
  let header: CaptureHeader | null = null;
  let rest = new Uint8Array(0);

  const takeHeader = (): boolean => {
    const end = rest.indexOf(LINE_FEED);
    if (end === -1) {
      if (rest.length > LONGEST_HEADER_BYTES) throw damaged('its first line has no end');
      return false;
    }
    header = parseHeader(rest.subarray(0, end));
    rest = rest.subarray(end + 1);
    return true;
  };

  return {
    header: () => header,
    finishedHeader() {
      if (header) return header;
      throw damaged('its first line has no end');
    },
    push(chunk) {
      rest = joined(rest, chunk);
      const records: CaptureRecord[] = [];
      if (!header && !takeHeader()) return records;
      const view = new DataView(rest.buffer, rest.byteOffset, rest.byteLength);
      let at = 0;
      while (at + RECORD_HEAD_BYTES <= rest.length) {
        const length = view.getUint32(at + 4, true);
        if (length > LONGEST_RECORD_BYTES) throw damaged(`it names a record of ${length} bytes`);
        const from = at + RECORD_HEAD_BYTES;
        if (from + length > rest.length) break;
        records.push({ sinceLastUs: view.getUint32(at, true), bytes: rest.slice(from, from + length) });
        at = from + length;
      }
      rest = rest.slice(at);
      return records;
    },
  };
}

/** A whole file. Errors: AppError 'capture-damaged'. */
export function decodeCapture(file: Uint8Array): { header: CaptureHeader; records: CaptureRecord[] } {
  const reader = createCaptureReader();
  const records = reader.push(file);
  return { header: reader.finishedHeader(), records };
}

function parseHeader(line: Uint8Array): CaptureHeader {
  let value: unknown;
  try {
    value = JSON.parse(new TextDecoder('utf-8', { fatal: true }).decode(line));
  } catch (cause) {
    throw damaged('its first line is not JSON', cause);
  }
  const parsed = captureHeaderSchema.safeParse(value);
  if (!parsed.success) throw damaged('its first line does not describe a capture', parsed.error);
  return parsed.data;
}

function joined(first: Uint8Array, second: Uint8Array): Uint8Array<ArrayBuffer> {
  const both = new Uint8Array(first.length + second.length);
  both.set(first);
  both.set(second, first.length);
  return both;
}

function damaged(why: string, cause?: unknown): AppError {
  return new AppError(
    'capture-damaged',
    `This is no capture, or a damaged one: ${why}. Nothing was played from there on. Capture again, or choose another file.`,
    {},
    cause,
  );
}
