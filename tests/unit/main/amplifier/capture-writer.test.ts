import { mkdtempSync, readFileSync, rmSync, writeFileSync } from 'node:fs';
import { open } from 'node:fs/promises';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import { afterEach, beforeEach, describe, expect, it } from 'vitest';
import {
  openCaptureFile,
  startCaptureWriter,
  type CaptureProgress,
} from '../../../../main/amplifier/capture-writer.ts';
import { readyMadeProfiles } from '../../../../shared-lib/amplifier/amplifier-profile.ts';
import { decodeCapture, type CaptureHeader } from '../../../../shared-lib/amplifier/capture-format.ts';

const [profile] = readyMadeProfiles;
if (!profile) throw new Error('There is no profile');
const header: CaptureHeader = {
  format: 'serial-capture',
  version: 1,
  startedAt: '2026-01-02T03:04:05.000Z',
  path: '/dev/ttyUSB0',
  profile,
};

describe('the writer of captures', () => {
  let folder: string;
  let filePath: string;
  let progress: CaptureProgress[];
  const note = (step: CaptureProgress): void => {
    progress.push(step);
  };
  beforeEach(() => {
    folder = mkdtempSync(join(tmpdir(), 'proofarm-capture-'));
    filePath = join(folder, 'capture.bin');
    progress = [];
  });
  afterEach(() => {
    rmSync(folder, { recursive: true });
  });

  it('keeps the chunks and the time between them, the first from the start on', async () => {
    const writer = await startCaptureWriter(await openCaptureFile(filePath), header, 5_000_000, note);
    writer.add(Buffer.from('1\n'), 5_000_250);
    writer.add(Buffer.from('2\n3'), 5_020_250);
    await writer.stop();
    const file = readFileSync(filePath);
    expect(decodeCapture(file)).toEqual({
      header,
      records: [
        { sinceLastUs: 250, bytes: new Uint8Array(Buffer.from('1\n')) },
        { sinceLastUs: 20_000, bytes: new Uint8Array(Buffer.from('2\n3')) },
      ],
    });
    expect(progress.at(-1)).toEqual({ bytes: file.length, error: null, isEnded: true });
  });

  it('never writes over a file', async () => {
    writeFileSync(filePath, 'kept');
    await expect(openCaptureFile(filePath)).rejects.toThrow(/EEXIST/);
    expect(readFileSync(filePath, 'utf8')).toBe('kept');
  });

  it('ends at the largest size with a file that is whole, and says so once', async () => {
    const file = await openCaptureFile(filePath);
    const limit = JSON.stringify(header).length + 1 + 3 * (8 + 100);
    const writer = await startCaptureWriter(file, header, 0, note, limit);
    for (let chunk = 1; chunk <= 6; chunk += 1) writer.add(new Uint8Array(100).fill(chunk), chunk * 1000);
    await writer.stop();
    expect(readFileSync(filePath)).toHaveLength(limit);
    expect(decodeCapture(readFileSync(filePath)).records).toHaveLength(3);
    const ends = progress.filter(({ isEnded }) => isEnded);
    expect(ends).toHaveLength(1);
    expect(ends[0]?.error).toContain('largest size');
  });

  // The device that is always full, of Linux only.
  it.runIf(process.platform === 'linux')('ends with the reason where the disk is full', async () => {
    const writer = await startCaptureWriter(await open('/dev/full', 'a'), header, 0, note);
    writer.add(Buffer.from('1\n'), 10);
    await writer.stop();
    expect(progress).toEqual([
      { bytes: 0, error: expect.stringContaining('ENOSPC') as string, isEnded: true },
    ]);
  });
});
