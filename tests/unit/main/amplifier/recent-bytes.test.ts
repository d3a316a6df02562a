import { describe, expect, it } from 'vitest';
import { createRecentBytes } from '../../../../main/amplifier/recent-bytes.ts';
import { readyMadeProfiles } from '../../../../shared-lib/amplifier/amplifier-profile.ts';
import { decodeCapture } from '../../../../shared-lib/amplifier/capture-format.ts';

const [profile] = readyMadeProfiles;
if (!profile) throw new Error('There is no profile');
const now = new Date('2026-01-02T03:05:00.000Z');

describe('the raw bytes of the last minute', () => {
  it('are none before a port was opened', () => {
    expect(createRecentBytes().takeCapture(now, 0)).toBeNull();
  });

  it('reach back 60 s, with the time at which the first of them came', () => {
    const recent = createRecentBytes();
    recent.restart('/dev/ttyUSB0', profile);
    for (let second = 0; second <= 100; second += 1) recent.add(Buffer.from(`${second}\n`), second * 1e6);
    const { header, records } = decodeCapture(recent.takeCapture(now, 100e6) ?? new Uint8Array());
    expect(header).toMatchObject({ path: '/dev/ttyUSB0', startedAt: '2026-01-02T03:04:00.000Z' });
    expect(Buffer.from(records[0]?.bytes ?? []).toString()).toBe('40\n');
    expect(records.map(({ sinceLastUs }) => sinceLastUs)).toEqual([0, ...Array<number>(60).fill(1e6)]);
  });

  it('are at most 16 MiB, the newest', () => {
    const recent = createRecentBytes();
    recent.restart('/dev/ttyUSB0', profile);
    const chunk = new Uint8Array(64 * 1024);
    for (let index = 0; index < 3000; index += 1) recent.add(chunk, index * 1000);
    recent.add(Buffer.from('last'), 3_000_000);
    const { records } = decodeCapture(recent.takeCapture(now, 3_000_000) ?? new Uint8Array());
    const total = records.reduce((sum, { bytes }) => sum + bytes.length, 0);
    expect(total).toBeLessThanOrEqual(16 * 1024 ** 2);
    expect(total).toBeGreaterThan(16 * 1024 ** 2 - 64 * 1024);
    expect(Buffer.from(records.at(-1)?.bytes ?? []).toString()).toBe('last');
  });

  it('come out as they came in, whatever the sizes of the chunks', () => {
    const recent = createRecentBytes();
    recent.restart('/dev/ttyUSB0', profile);
    const sizes = [1, 65_535, 1, 200_000, 300, 65_536, ...Array<number>(3000).fill(7)];
    const chunks = sizes.map((size, index) => Buffer.alloc(size, index % 251));
    chunks.forEach((chunk, index) => recent.add(chunk, 1000 * index));
    const { records } = decodeCapture(recent.takeCapture(now, 4e6) ?? new Uint8Array());
    expect(Buffer.concat(records.map(({ bytes }) => bytes)).equals(Buffer.concat(chunks))).toBe(true);
    const lastUs = records.reduce((sum, { sinceLastUs }) => sum + sinceLastUs, 0);
    expect(lastUs).toBe(1000 * (sizes.length - 1));
  });

  it('are those before a silence too, however long nothing has come', () => {
    const recent = createRecentBytes();
    recent.restart('/dev/ttyUSB0', profile);
    recent.add(Buffer.from('before\n'), 1e6);
    const { records } = decodeCapture(recent.takeCapture(now, 500e6) ?? new Uint8Array());
    expect(records.map(({ bytes }) => Buffer.from(bytes).toString())).toEqual(['before\n']);
  });

  it('do not change in a capture that was taken, while more come', () => {
    const recent = createRecentBytes();
    recent.restart('/dev/ttyUSB0', profile);
    const chunk = Buffer.alloc(64 * 1024, 'a');
    for (let index = 0; index < 256; index += 1) recent.add(chunk, index);
    const capture = recent.takeCapture(now, 1000) ?? new Uint8Array();
    for (let index = 0; index < 256; index += 1) recent.add(Buffer.alloc(64 * 1024, 'b'), 1000 + index);
    const { records } = decodeCapture(capture);
    expect(records.every(({ bytes }) => bytes[0] === 'a'.charCodeAt(0))).toBe(true);
  });

  it('of one port are not taken for those of the next', () => {
    const recent = createRecentBytes();
    recent.restart('/dev/ttyUSB0', profile);
    recent.add(Buffer.from('old\n'), 1000);
    recent.restart('/dev/ttyUSB1', profile);
    const { header, records } = decodeCapture(recent.takeCapture(now, 2000) ?? new Uint8Array());
    expect(header.path).toBe('/dev/ttyUSB1');
    expect(records).toEqual([]);
  });
});
