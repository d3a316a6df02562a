/** The stretch of time that is in sight, in seconds from onset. */
export interface CurveWindow {
  readonly fromS: number;
  readonly toS: number;
}

/** Narrower than this many samples shows nothing more. */
const MIN_SAMPLES = 20;

/** Steps from what is in sight to what is to be. */
export type LookStep = 'closer' | 'wider' | 'earlier' | 'later' | 'whole';

/** Half or twice the width, or half of it to a side. Null: the whole is in sight. */
export function stepWindow(
  step: LookStep,
  seen: CurveWindow,
  whole: CurveWindow,
  sampleRateHz: number,
): CurveWindow | null {
  switch (step) {
    case 'closer':
      return zoomWindow(seen, whole, 0.5, sampleRateHz);
    case 'wider':
      return zoomWindow(seen, whole, 2, sampleRateHz);
    case 'earlier':
      return shiftWindow(seen, whole, -0.5, sampleRateHz);
    case 'later':
      return shiftWindow(seen, whole, 0.5, sampleRateHz);
    case 'whole':
      return null;
  }
}

/** `factor` under 1 shows less, over 1 shows more; never beyond the whole. Null: the whole is in sight. */
export function zoomWindow(
  window: CurveWindow,
  whole: CurveWindow,
  factor: number,
  sampleRateHz: number,
): CurveWindow | null {
  const widthS = (window.toS - window.fromS) * factor;
  const middleS = (window.fromS + window.toS) / 2;
  return fitWindow({ fromS: middleS - widthS / 2, toS: middleS + widthS / 2 }, whole, sampleRateHz);
}

/** `share` of its own width: -0.5 goes half a width towards the start. */
export function shiftWindow(
  window: CurveWindow,
  whole: CurveWindow,
  share: number,
  sampleRateHz: number,
): CurveWindow | null {
  const byS = (window.toS - window.fromS) * share;
  return fitWindow({ fromS: window.fromS + byS, toS: window.toS + byS }, whole, sampleRateHz);
}

/** The nearest window that lies inside the whole and is wide enough; null where that is the whole itself. */
export function fitWindow(wanted: CurveWindow, whole: CurveWindow, sampleRateHz: number): CurveWindow | null {
  const wholeS = whole.toS - whole.fromS;
  const widthS = Math.max(wanted.toS - wanted.fromS, MIN_SAMPLES / sampleRateHz);
  if (widthS >= wholeS) return null;
  const middleS = (wanted.fromS + wanted.toS) / 2;
  const fromS = Math.min(Math.max(middleS - widthS / 2, whole.fromS), whole.toS - widthS);
  return { fromS, toS: fromS + widthS };
}
