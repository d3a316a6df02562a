import { BufferTarget, EncodedVideoPacketSource, Output, WebMOutputFormat } from 'mediabunny';
import { AppError } from '../../../shared-lib/app-error.ts';
import { createFilmEncoder, type FilmCodec } from './film-encoder.ts';
import { type FrameSource, letOthersWork, throwIfCancelled } from './make-file.ts';

/**
 * A WebM file of all frames, with transparency where it is asked for.
 *
 * Errors: AppError 'cancelled'; 'internal' where the encoder gives up.
 */
export async function makeWebm(source: FrameSource, codec: FilmCodec, isTransparent: boolean): Promise<Blob> {
  const { canvas, timing, frameCount, signal } = source;
  const target = new BufferTarget();
  const output = new Output({ format: new WebMOutputFormat(), target });
  const track = new EncodedVideoPacketSource(codec.name);
  output.addVideoTrack(track, { frameRate: timing.frameRate, canBeTransparent: isTransparent });
  const encoder = createFilmEncoder({
    codec,
    widthPx: canvas.width,
    heightPx: canvas.height,
    frameRate: timing.frameRate,
    isTransparent,
    onPacket: (packet, meta) => track.add(packet, meta),
  });
  let frame = 0;
  try {
    await output.start();
    for (; frame < frameCount; frame += 1) {
      throwIfCancelled(signal);
      source.paint(frame);
      await encoder.encode(source.pixels(), frame);
      source.onProgress(frame + 1);
      await letOthersWork();
    }
    await encoder.finish();
    await output.finalize();
  } catch (cause) {
    await output.cancel();
    if (cause instanceof AppError) throw cause;
    throw new AppError(
      'internal',
      `This browser’s video encoder gave up at frame ${Math.min(frame + 1, frameCount)} of ${frameCount}. Nothing was saved, and no data were touched. Take the PNG sequence instead, which needs no encoder.`,
      { frame },
      cause,
    );
  } finally {
    encoder.close();
  }
  if (target.buffer === null) throw new Error('A finished video has no content');
  return new Blob([target.buffer], { type: 'video/webm' });
}
