/** Sizes on the Bench, which is read from 1.5 to 3 m and touched with gloves. CSS pixels. */
export interface BenchSizes {
  readonly figurePx: number;
  readonly stepPx: number;
  readonly controlPx: number;
  readonly targetPx: number;
  readonly axisPx: number;
}

export interface BenchScreen {
  readonly widthPx: number;
  readonly heightPx: number;
  /** As measured in Setup; null: 96 px per inch is assumed. */
  readonly screenPxPerMm: number | null;
}

const ASSUMED_PX_PER_MM = 96 / 25.4;
/** Height of a capital or a figure of Inter over its type size. */
const CAPITAL_SHARE = 0.727;

// 20 to 22 and 60 minutes of arc at 3 m (ISO 9241-303, from memory); 22 mm for a gloved finger.
const STEP_CAPITAL_MM = 18;
const FIGURE_CAPITAL_MM = 52;
const TARGET_MM = 22;

/** True millimetres as far as the window has room for them; a small window gets its share instead. */
export function benchSizes({ widthPx, heightPx, screenPxPerMm }: BenchScreen): BenchSizes {
  const pxPerMm = screenPxPerMm ?? ASSUMED_PX_PER_MM;
  const typePx = (capitalMm: number): number => (capitalMm * pxPerMm) / CAPITAL_SHARE;
  const within = (wanted: number, shareOfWidth: number, shareOfHeight: number): number =>
    Math.round(Math.min(wanted, shareOfWidth * widthPx, shareOfHeight * heightPx));
  const stepPx = within(typePx(STEP_CAPITAL_MM), 0.049, 0.09);
  return {
    stepPx,
    figurePx: within(typePx(FIGURE_CAPITAL_MM), 0.145, 0.27),
    targetPx: within(TARGET_MM * pxPerMm, 0.1, 0.1),
    controlPx: Math.max(Math.round(stepPx * 0.42), 20),
    axisPx: Math.max(Math.round(stepPx * 0.24), 14),
  };
}
