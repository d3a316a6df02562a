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
