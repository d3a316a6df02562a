import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import { readyMadeProfiles } from '../../../../shared-lib/amplifier/amplifier-profile.ts';
import {
  createCaptureReader,
  decodeCapture,
  encodeCaptureHeader,
  encodeCaptureRecord,
  LONGEST_RECORD_BYTES,
  type CaptureHeader,
  type CaptureRecord,
} from '../../../../shared-lib/amplifier/capture-format.ts';

const [profile] = readyMadeProfiles;
if (!profile) throw new Error('There is no profile');
const header: CaptureHeader = {
  format: 'serial-capture',
  version: 1,
  startedAt: '2026-01-02T03:04:05.678Z',
  path: '/dev/ttyUSB0 (Prüfstand)',
  profile,
};

function fileOf(records: readonly CaptureRecord[]): Uint8Array {
  return new Uint8Array(Buffer.concat([encodeCaptureHeader(header), ...records.map(encodeCaptureRecord)]));
}
const text = (record: CaptureRecord | undefined): string =>
  Buffer.from(record?.bytes ?? []).toString('latin1');

describe('a capture', () => {
  it('begins with its header as a line of JSON, and holds records of two numbers and the bytes', () => {
    const file = fileOf([{ sinceLastUs: 258, bytes: Buffer.from('-12\n') }]);
    const lineEnd = file.indexOf(10);
    expect(JSON.parse(Buffer.from(file.subarray(0, lineEnd)).toString('utf8'))).toEqual(header);
    // 258 = 0x0102 and 4, least significant byte first, written out by hand.
    expect([...file.subarray(lineEnd + 1)]).toEqual([2, 1, 0, 0, 4, 0, 0, 0, 45, 49, 50, 10]);
  });

  it('gives back what was put in, however the file is cut into pieces', () => {
    const record = fc.record({
      sinceLastUs: fc.integer({ min: 0, max: 2 ** 32 - 1 }),
      bytes: fc.uint8Array({ maxLength: 300 }),
    });
    fc.assert(
      fc.property(fc.array(record, { maxLength: 20 }), fc.integer({ min: 1, max: 400 }), (records, piece) => {
        const file = fileOf(records);
        const reader = createCaptureReader();
        const read: CaptureRecord[] = [];
        for (let at = 0; at < file.length; at += piece)
          read.push(...reader.push(file.subarray(at, at + piece)));
        expect(reader.finishedHeader()).toEqual(header);
        expect(read).toEqual(records);
      }),
    );
  });

  it('needs no second record for the longest wait that one can say', () => {
    const record = { sinceLastUs: 2 ** 32 - 1, bytes: new Uint8Array([1]) };
    expect(decodeCapture(fileOf([record])).records).toEqual([record]);
  });

  it('keeps a wait of hours, in records without bytes', () => {
    const { records } = decodeCapture(fileOf([{ sinceLastUs: 3 * 3600e6, bytes: Buffer.from('1\n') }]));
    expect(records.reduce((sum, { sinceLastUs }) => sum + sinceLastUs, 0)).toBe(3 * 3600e6);
    expect(records.map(text).join('')).toBe('1\n');
  });

  it('divides bytes that are too many for one record', () => {
    const bytes = new Uint8Array(LONGEST_RECORD_BYTES + 5).fill(7);
    const { records } = decodeCapture(fileOf([{ sinceLastUs: 9, bytes }]));
    expect(records.map((record) => [record.sinceLastUs, record.bytes.length])).toEqual([
      [9, LONGEST_RECORD_BYTES],
      [0, 5],
    ]);
  });

  it('passes over a last record that was cut off', () => {
    const whole = fileOf([{ sinceLastUs: 1, bytes: Buffer.from('first\n') }]);
    const both = fileOf([
      { sinceLastUs: 1, bytes: Buffer.from('first\n') },
      { sinceLastUs: 1, bytes: Buffer.from('second\n') },
    ]);
    for (let length = whole.length; length < both.length; length += 1) {
      expect(decodeCapture(both.subarray(0, length)).records.map(text)).toEqual(['first\n']);
    }
  });

  it('refuses a time between records that is none', () => {
    for (const sinceLastUs of [-1, Number.NaN, Infinity]) {
      expect(() => encodeCaptureRecord({ sinceLastUs, bytes: new Uint8Array(0) })).toThrow(RangeError);
    }
  });
});

describe('a damaged capture', () => {
  const damaged = { code: 'capture-damaged' };
  const caught = (file: Uint8Array): unknown => {
    try {
      decodeCapture(file);
    } catch (error) {
      return error;
    }
    return null;
  };

  it.each([
    ['nothing', ''],
    ['a line without end', '{"format":"serial-capture"'],
    ['text', 'counts;time\n1;2\n'],
    ['another format', `${JSON.stringify({ ...header, format: 'other' })}\n`],
    ['a later version', `${JSON.stringify({ ...header, version: 2 })}\n`],
    ['a header without profile', `${JSON.stringify({ ...header, profile: undefined })}\n`],
  ])('is told where there is %s', (_what, content) => {
    expect(caught(Buffer.from(content))).toMatchObject(damaged);
  });

  it('is told where a first line never ends, before the whole file is held in memory', () => {
    const reader = createCaptureReader();
    expect(() => {
      for (let piece = 0; piece < 100; piece += 1) reader.push(new Uint8Array(1024).fill(65));
    }).toThrow(/no end/);
  });

  it('is told where a record names a length that no port hands over', () => {
    const file = fileOf([{ sinceLastUs: 1, bytes: Buffer.from('1\n') }]);
    const at = file.indexOf(10) + 1;
    new DataView(file.buffer, file.byteOffset).setUint32(at + 4, LONGEST_RECORD_BYTES + 1, true);
    expect(caught(file)).toMatchObject(damaged);
  });
});
