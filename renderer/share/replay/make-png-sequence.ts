import { strToU8, Zip, ZipPassThrough } from 'fflate';
import { type FrameSource, letOthersWork, throwIfCancelled } from './make-file.ts';
import type { ReplayTiming } from './replay-timing.ts';
import { refuseTooManyFiles, type ZipLimits, zipLimits, ZipRoom } from './zip-limits.ts';

/** Joined to one piece as soon as there is so much, which the browser may then put on its disk. */
const PIECE_BYTES = 32 * 1024 * 1024;

/** "frame-00001.png": in order by name too. */
export function frameName(frame: number): string {
  return `frame-${String(frame + 1).padStart(5, '0')}.png`;
}

/** What an editing program has to be told of the pictures. */
export function sequenceNotes(
  timing: ReplayTiming,
  frameCount: number,
  size: { readonly widthPx: number; readonly heightPx: number },
): string {
  const onsetFrame = Math.round(-timing.fromS * timing.frameRate);
  return [
    `${String(frameCount)} frames of ${String(size.widthPx)} x ${String(size.heightPx)} px, ${String(timing.frameRate)} frames per second, with transparency.`,
    `Frame n (counted from 1) shows the runs ${timing.fromS.toFixed(3)} s + (n - 1) / ${String(timing.frameRate)} s from onset, and from ${timing.toS.toFixed(3)} s on the end.`,
    `Onset is nearest to ${frameName(onsetFrame)}.`,
    '',
  ].join('\n');
}

/**
 * All frames as PNG files in a ZIP, and a text that says at which rate they are to be shown. Pictures are stored as they are, since PNG is
 * packed already.
 *
 * Errors: AppError 'cancelled'; 'input-out-of-range' where a ZIP file cannot hold so many pictures, or such large ones.
 */
export async function makePngSequence(source: FrameSource, limits: ZipLimits = zipLimits): Promise<Blob> {
  const { canvas, timing, frameCount, signal } = source;
  refuseTooManyFiles(frameCount + 1, timing.frameRate, limits);
  const room = new ZipRoom(limits, timing.frameRate);
  let pieces: BlobPart[] = [];
  let waitingBytes = 0;
  const failures: Error[] = [];
  const zip = new Zip((error, chunk) => {
    if (error !== null) failures.push(error);
    else {
      pieces.push(chunk.slice());
      waitingBytes += chunk.length;
    }
  });
  const put = (name: string, content: Uint8Array): void => {
    room.take(name, content.length);
    const entry = new ZipPassThrough(name);
    zip.add(entry);
    entry.push(content, true);
  };
  put(
    'frames.txt',
    strToU8(sequenceNotes(timing, frameCount, { widthPx: canvas.width, heightPx: canvas.height })),
  );
  for (let frame = 0; frame < frameCount; frame += 1) {
    throwIfCancelled(signal);
    source.paint(frame);
    const picture = await canvas.convertToBlob({ type: 'image/png' });
    put(frameName(frame), new Uint8Array(await picture.arrayBuffer()));
    if (waitingBytes > PIECE_BYTES) {
      pieces = [new Blob(pieces)];
      waitingBytes = 0;
    }
    source.onProgress(frame + 1);
    await letOthersWork();
  }
  zip.end();
  if (failures[0] !== undefined) throw failures[0];
  return new Blob(pieces, { type: 'application/zip' });
}
