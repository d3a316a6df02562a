import {
  BufferTarget,
  canEncodeVideo,
  CanvasSource,
  Output,
  Quality,
  type VideoCodec,
  WebMOutputFormat,
} from 'mediabunny';
import { AppError } from '../../../shared-lib/app-error.ts';
import { type FrameSource, letOthersWork, throwIfCancelled } from './make-file.ts';
import { timestampOfFrameS } from './replay-timing.ts';

/** Those that can carry transparency in a WebM file, the better first. */
const codecs: readonly VideoCodec[] = ['vp9', 'vp8'];
const quality = new Quality('high');
/** So that an editing program finds any instant quickly. */
const KEY_FRAME_INTERVAL_S = 1;

/** Null: this browser encodes none of them at this size. */
export async function findEncoder(widthPx: number, heightPx: number): Promise<VideoCodec | null> {
  if (!('VideoEncoder' in globalThis)) return null;
  for (const codec of codecs) {
    if (await canEncodeVideo(codec, { width: widthPx, height: heightPx, quality })) return codec;
  }
  return null;
}

/**
 * A WebM file of all frames, with transparency where it is asked for: WebCodecs encodes the colours and, as a second picture, how
 * opaque each point is, since it has no encoder for both at once.
 *
 * Errors: AppError 'cancelled'; 'internal' where the encoder gives up.
 */
export async function makeWebm(
  source: FrameSource,
  codec: VideoCodec,
  isTransparent: boolean,
): Promise<Blob> {
  const { canvas, timing, frameCount, signal } = source;
  const target = new BufferTarget();
  const output = new Output({ format: new WebMOutputFormat(), target });
  const track = new CanvasSource(canvas, {
    codec,
    quality,
    alpha: isTransparent ? 'keep' : 'discard',
    keyFrameInterval: KEY_FRAME_INTERVAL_S,
  });
  output.addVideoTrack(track, { frameRate: timing.frameRate, canBeTransparent: isTransparent });
  let frame = 0;
  try {
    await output.start();
    for (; frame < frameCount; frame += 1) {
      throwIfCancelled(signal);
      source.paint(frame);
      await track.add(timestampOfFrameS(timing, frame), 1 / timing.frameRate);
      source.onProgress(frame + 1);
      await letOthersWork();
    }
    await output.finalize();
  } catch (cause) {
    await output.cancel();
    if (cause instanceof AppError) throw cause;
    throw new AppError(
      'internal',
      `This browser’s video encoder gave up at frame ${frame + 1} of ${frameCount}. Nothing was saved, and no data were touched. Take the PNG sequence instead, which needs no encoder.`,
      { frame },
      cause,
    );
  }
  if (target.buffer === null) throw new Error('A finished video has no content');
  return new Blob([target.buffer], { type: 'video/webm' });
}
