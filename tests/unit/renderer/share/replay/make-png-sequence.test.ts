import yauzl from 'yauzl';
import { describe, expect, it } from 'vitest';
import type { FrameSource } from '../../../../../renderer/share/replay/make-file.ts';
import { makePngSequence } from '../../../../../renderer/share/replay/make-png-sequence.ts';
import type { FrameRate } from '../../../../../renderer/share/replay/replay-timing.ts';
import { zipLimits } from '../../../../../renderer/share/replay/zip-limits.ts';

const PICTURE_BYTES = 1000;

/** A canvas that gives pictures of one size. */
function frames(frameCount: number, frameRate: FrameRate = 30) {
  const painted: number[] = [];
  const source: FrameSource = {
    canvas: {
      width: 1080,
      height: 1080,
      convertToBlob: () => Promise.resolve(new Blob([new Uint8Array(PICTURE_BYTES).fill(7)])),
    } as unknown as OffscreenCanvas,
    timing: { fromS: -0.2, toS: 5, frameRate },
    frameCount,
    paint: (frame) => painted.push(frame),
    pixels: () => {
      throw new Error('Pictures of a sequence are taken from the canvas');
    },
    signal: new AbortController().signal,
    onProgress: () => undefined,
  };
  return { source, painted };
}

/** By an unzip that is not what wrote it. */
async function namesIn(zip: Blob): Promise<string[]> {
  const bytes = Buffer.from(await zip.arrayBuffer());
  return new Promise((resolve, reject) => {
    yauzl.fromBuffer(bytes, (error, file) => {
      if (error) {
        reject(error);
        return;
      }
      const names: string[] = [];
      file.on('entry', (entry: yauzl.Entry) => names.push(entry.fileName));
      file.on('end', () => resolve(names));
      file.on('error', reject);
    });
  });
}

describe('a sequence of pictures', () => {
  it('is refused before a frame is painted where a ZIP file cannot count so many files', async () => {
    // With frames.txt one more than the greatest number that does not stand for something else.
    const { source, painted } = frames(65_534, 60);
    const refusal = await makePngSequence(source).catch((error: unknown) => error);
    expect(refusal).toMatchObject({ name: 'AppError', code: 'input-out-of-range' });
    const message = refusal instanceof Error ? refusal.message : '';
    expect(message.replaceAll('\u202f', ' ')).toBe(
      'A ZIP file holds 65 534 files at most; this sequence has 65 535. Nothing was saved, and no data were touched. To get a file, choose 30 frames/s, save the video instead or replay trials with a shorter planned time.',
    );
    expect(painted).toEqual([]);
  });

  it('does not advise a rate that it already has', async () => {
    await expect(makePngSequence(frames(70_000, 30).source)).rejects.toThrow(
      'To get a file, save the video instead or replay trials with a shorter planned time.',
    );
  });

  it('ends where the next picture would have no room, and gives no file', async () => {
    const { source, painted } = frames(40);
    const limits = { mostFiles: 100, mostBytes: 20_000 };
    const refusal = await makePngSequence(source, limits).catch((error: unknown) => error);
    expect(refusal).toMatchObject({ name: 'AppError', code: 'input-out-of-range' });
    expect(refusal instanceof Error ? refusal.message : '').toContain('Nothing was saved');
    expect(painted.length).toBeGreaterThan(10);
    expect(painted.length).toBeLessThan(20);
  });

  it('is made whole up to the last byte and the last file that there is room for', async () => {
    const whole = await makePngSequence(frames(12).source);
    const limits = { mostFiles: 13, mostBytes: whole.size };
    const again = await makePngSequence(frames(12).source, limits);
    expect(await namesIn(again)).toEqual([
      'frames.txt',
      ...Array.from({ length: 12 }, (_, frame) => `frame-000${String(frame + 1).padStart(2, '0')}.png`),
    ]);
    await expect(
      makePngSequence(frames(12).source, { ...limits, mostBytes: whole.size - 1 }),
    ).rejects.toMatchObject({ code: 'input-out-of-range' });
    await expect(makePngSequence(frames(12).source, { ...limits, mostFiles: 12 })).rejects.toMatchObject({
      code: 'input-out-of-range',
    });
  });

  it('has limits under the numbers by which a ZIP file points to an extension that is not written here', () => {
    expect(zipLimits.mostFiles).toBeLessThan(2 ** 16 - 1);
    expect(zipLimits.mostBytes).toBeLessThan(2 ** 32 - 1);
  });
});
