/** Which instant of the runs each frame of a replay shows. */
export interface ReplayTiming {
  /** From onset: the first instant and the last. */
  readonly fromS: number;
  readonly toS: number;
  readonly frameRate: FrameRate;
}

export const frameRates = [30, 60] as const;
export type FrameRate = (typeof frameRates)[number];

/** So long the last picture of a file stands, to be read. */
export const STANDS_S = 2;

/** True speed: frame `i` shows the instant `i / frameRate` after the first, and the last ones the end. */
export function instantOfFrameS({ fromS, toS, frameRate }: ReplayTiming, frame: number): number {
  return Math.min(toS, fromS + frame / frameRate);
}

/** With those in which the end stands; every instant of the runs is in sight at its own time. */
export function frameCountOf({ fromS, toS, frameRate }: ReplayTiming): number {
  return Math.ceil((toS - fromS) * frameRate - 1e-6) + 1 + Math.round(STANDS_S * frameRate);
}

/** Rounded to the millisecond by the container; not added up, so that no error grows. */
export function timestampOfFrameS({ frameRate }: Pick<ReplayTiming, 'frameRate'>, frame: number): number {
  return frame / frameRate;
}
