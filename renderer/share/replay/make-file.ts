import { AppError } from '../../../shared-lib/app-error.ts';
import type { ReplayTiming } from './replay-timing.ts';

/** What every form of file is made from, frame by frame. */
export interface FrameSource {
  readonly canvas: OffscreenCanvas;
  readonly timing: ReplayTiming;
  readonly frameCount: number;
  /** Draws one frame on the canvas. */
  readonly paint: (frame: number) => void;
  /** What was drawn, red, green, blue and opacity of each point. */
  readonly pixels: () => ImageData;
  readonly signal: AbortSignal;
  readonly onProgress: (doneFrames: number) => void;
}

/** Errors: AppError 'cancelled'. */
export function throwIfCancelled(signal: AbortSignal): void {
  if (!signal.aborted) return;
  throw new AppError('cancelled', 'The making of the file was cancelled. Nothing was saved.');
}

/** Lets the page answer the hand in between; unlike a timer this does not slow down in a window behind others. */
export function letOthersWork(): Promise<void> {
  return new Promise((resolve) => {
    const channel = new MessageChannel();
    channel.port1.addEventListener('message', () => {
      channel.port1.close();
      resolve();
    });
    channel.port1.start();
    channel.port2.postMessage(null);
  });
}
