import type { CurvePoints } from '../../shared-lib/overlay/curve-points.ts';
import type { OverlayFrame } from '../../shared-lib/overlay/overlay-model.ts';

export type RunFrame = Extract<OverlayFrame, { kind: 'run' }>;
export type SamplesFrame = Extract<OverlayFrame, { kind: 'samples' }>;
export type ReplayFrame = Extract<OverlayFrame, { kind: 'replay' }>;

export interface FrameScreen {
  showRun(run: RunFrame): void;
  /** Of the run that was shown last. */
  showPoints(points: CurvePoints): void;
  showReplay(replay: ReplayFrame): void;
}

/**
 * Frames wait here until they are to be seen: each at its own instant and not when it comes, so that the delay is exact and a late
 * message does not show, and each sample when it was read.
 */
export class WaitingFrames {
  readonly #screen: FrameScreen;
  #begins: (RunFrame | ReplayFrame)[] = [];
  #samples: SamplesFrame[] = [];
  #shownRunId: string | null = null;

  constructor(screen: FrameScreen) {
    this.#screen = screen;
  }

  take(frame: RunFrame | SamplesFrame | ReplayFrame): void {
    if (frame.kind === 'samples') {
      this.#samples.push(frame);
      return;
    }
    // What was to begin later than this has been overtaken: an onset is known only some time after it.
    this.#begins = [...this.#begins.filter((begin) => beginsAtUs(begin) <= beginsAtUs(frame)), frame];
  }

  forget(): void {
    this.#begins = [];
    this.#samples = [];
    this.#shownRunId = null;
  }

  /** `shownUs`: the instant of the host that is to be seen now. */
  showUntil(shownUs: number): void {
    let waiting = this.#begins.length;
    for (const begin of this.#begins) {
      if (beginsAtUs(begin) > shownUs) break;
      waiting -= 1;
      this.#shownRunId = begin.runId;
      if (begin.kind === 'run') this.#screen.showRun(begin);
      else this.#screen.showReplay(begin);
    }
    this.#begins = waiting === 0 ? [] : this.#begins.slice(-waiting);
    this.#showSamples(shownUs);
  }

  #showSamples(shownUs: number): void {
    const rest: SamplesFrame[] = [];
    for (const frame of this.#samples) {
      if (frame.runId !== this.#shownRunId) {
        // Of a run that has not begun to be seen, or of one that is over.
        if (this.#begins.some(({ runId }) => runId === frame.runId)) rest.push(frame);
        continue;
      }
      const { timeS } = frame;
      const lastS = timeS.at(-1) ?? 0;
      const dueS = lastS + (shownUs - frame.readAtUs) / 1e6;
      let count = timeS.length;
      while (count > 0 && (timeS[count - 1] ?? 0) > dueS) count -= 1;
      if (count > 0) this.#screen.showPoints(slice(frame, 0, count));
      if (count < timeS.length) rest.push({ ...frame, ...slice(frame, count, timeS.length) });
    }
    this.#samples = rest;
  }
}

/** A replay begins with its picture, before its first instant. */
function beginsAtUs(frame: RunFrame | ReplayFrame): number {
  return frame.kind === 'run' ? frame.atUs : -Infinity;
}

function slice({ timeS, minNm, maxNm }: CurvePoints, from: number, to: number): CurvePoints {
  return {
    timeS: timeS.subarray(from, to),
    minNm: minNm.subarray(from, to),
    maxNm: maxNm.subarray(from, to),
  };
}
