import { EncodedPacket } from 'mediabunny';
import type { FrameRate } from './replay-timing.ts';

/** A way to encode that a WebM file can hold with transparency. */
export interface FilmCodec {
  readonly name: 'vp9' | 'vp8';
  /** As WebCodecs calls it: profile 0, level 4.1, 8 bits. */
  readonly parameters: string;
}

/** The better first. */
const codecs: readonly FilmCodec[] = [
  { name: 'vp9', parameters: 'vp09.00.41.08' },
  { name: 'vp8', parameters: 'vp8' },
];

const BITS_PER_PIXEL = 0.12;
/** So that an editing program finds any instant quickly. */
const KEY_FRAME_INTERVAL_S = 1;
const MOST_WAITING = 4;
/** Chroma of grey, for a picture that holds how opaque each point is. */
const GREY_CHROMA = 128;

export interface FilmEncoderOptions {
  readonly codec: FilmCodec;
  readonly widthPx: number;
  readonly heightPx: number;
  readonly frameRate: FrameRate;
  readonly isTransparent: boolean;
  readonly onPacket: (packet: EncodedPacket, meta: EncodedVideoChunkMetadata | undefined) => Promise<void>;
}

export interface FilmEncoder {
  /** Frames come in order, from 0; resolves when the next may come. Rejects where an encoder has failed. */
  encode(pixels: ImageData, frame: number): Promise<void>;
  finish(): Promise<void>;
  close(): void;
}

/** Null: this browser encodes none of them at this size. */
export async function findFilmCodec(widthPx: number, heightPx: number): Promise<FilmCodec | null> {
  if (!('VideoEncoder' in globalThis)) return null;
  for (const codec of codecs) {
    const { supported } = await VideoEncoder.isConfigSupported(
      configOf({ codec, widthPx, heightPx, frameRate: 30 }),
    );
    if (supported === true) return codec;
  }
  return null;
}

/**
 * Colours and, as a second picture in grey, how opaque each point is, by two encoders one after the other: WebCodecs has none for both
 * at once. Where a colour picture stands by itself the other one must too, or players lose their way. The library's own way of it
 * starts a worker from a blob, which the page's policy forbids.
 */
export function createFilmEncoder(options: FilmEncoderOptions): FilmEncoder {
  const { frameRate, isTransparent, onPacket } = options;
  let failure: unknown = null;
  let writing: Promise<void> = Promise.resolve();
  const fail = (error: unknown): void => {
    failure ??= error;
  };
  const alphas: VideoFrame[] = [];
  const colours: {
    readonly chunk: EncodedVideoChunk;
    readonly meta: EncodedVideoChunkMetadata | undefined;
  }[] = [];

  const write = (
    chunk: EncodedVideoChunk,
    alpha: EncodedVideoChunk | null,
    meta: EncodedVideoChunkMetadata | undefined,
  ): void => {
    const frame = Math.round((chunk.timestamp * frameRate) / 1e6);
    const sideData = alpha === null ? {} : { alpha: bytesOf(alpha) };
    // The chunk's own time is in whole microseconds; a frame's is not.
    const packet = EncodedPacket.fromEncodedChunk(chunk, sideData).clone({
      timestamp: frame / frameRate,
      duration: 1 / frameRate,
    });
    writing = writing.then(() => onPacket(packet, meta)).catch(fail);
  };

  const alphaEncoder = new VideoEncoder({
    output(chunk) {
      const colour = colours.shift();
      if (colour === undefined) fail(new Error('A picture of transparency without its colours'));
      else write(colour.chunk, chunk, colour.meta);
    },
    error: fail,
  });
  const encoder = new VideoEncoder({
    output(chunk, meta) {
      const alpha = alphas.shift();
      if (alpha === undefined) {
        write(chunk, null, meta);
        return;
      }
      colours.push({ chunk, meta });
      alphaEncoder.encode(alpha, { keyFrame: chunk.type === 'key' });
      alpha.close();
    },
    error: fail,
  });
  const config = configOf(options);
  encoder.configure(config);
  if (isTransparent) alphaEncoder.configure(config);

  const throwFailure = (): void => {
    if (failure !== null) throw failure instanceof Error ? failure : new Error('An encoder failed');
  };
  const room = async (of: VideoEncoder): Promise<void> => {
    while (failure === null && of.encodeQueueSize > MOST_WAITING) {
      await new Promise((resolve) => {
        of.addEventListener('dequeue', resolve, { once: true });
      });
    }
  };

  return {
    async encode(pixels, frame) {
      throwFailure();
      const time = {
        timestamp: Math.round((frame * 1e6) / frameRate),
        duration: Math.round(1e6 / frameRate),
      };
      if (isTransparent) alphas.push(alphaFrame(pixels, time));
      const picture = new VideoFrame(pixels.data, {
        // The fourth byte of each point is not looked at.
        format: 'RGBX',
        codedWidth: pixels.width,
        codedHeight: pixels.height,
        ...time,
      });
      encoder.encode(picture, { keyFrame: frame % Math.round(KEY_FRAME_INTERVAL_S * frameRate) === 0 });
      picture.close();
      await room(encoder);
      await room(alphaEncoder);
      await writing;
      throwFailure();
    },
    async finish() {
      await encoder.flush();
      if (isTransparent) await alphaEncoder.flush();
      await writing;
      throwFailure();
    },
    close() {
      for (const alpha of alphas) alpha.close();
      for (const one of [encoder, alphaEncoder]) if (one.state !== 'closed') one.close();
    },
  };
}

function configOf({
  codec,
  widthPx,
  heightPx,
  frameRate,
}: Pick<FilmEncoderOptions, 'codec' | 'widthPx' | 'heightPx' | 'frameRate'>): VideoEncoderConfig {
  return {
    codec: codec.parameters,
    width: widthPx,
    height: heightPx,
    framerate: frameRate,
    bitrate: Math.round(widthPx * heightPx * frameRate * BITS_PER_PIXEL),
    // In the other mode an encoder may leave frames out.
    latencyMode: 'quality',
  };
}

/** Of planar 4:2:0 the first plane. */
function alphaFrame(
  { data, width, height }: ImageData,
  time: { timestamp: number; duration: number },
): VideoFrame {
  const pixelCount = width * height;
  const chromaCount = Math.ceil(width / 2) * Math.ceil(height / 2);
  const planes = new Uint8Array(pixelCount + 2 * chromaCount);
  for (let index = 0; index < pixelCount; index += 1) planes[index] = data[4 * index + 3] ?? 0;
  planes.fill(GREY_CHROMA, pixelCount);
  return new VideoFrame(planes, { format: 'I420', codedWidth: width, codedHeight: height, ...time });
}

function bytesOf(chunk: EncodedVideoChunk): Uint8Array {
  const bytes = new Uint8Array(chunk.byteLength);
  chunk.copyTo(bytes);
  return bytes;
}
