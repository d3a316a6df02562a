import type { OverlaySettings } from '../../shared-lib/overlay/overlay-model.ts';

/** What a canvas draws with; the same as the style sheet's, which holds them for the text. */
export interface OverlayColors {
  readonly ink: string;
  /** Around everything, so that it can be read over any picture. */
  readonly seam: string;
  readonly grid: string;
  /** Of Okabe and Ito, those that keep 3:1 on the seam. */
  readonly curves: readonly string[];
  readonly font: string;
}

const font = "'Inter Variable', system-ui, sans-serif";
const brightCurves = ['#f0e442', '#e69ac6', '#ff8c42', '#2fd0a2', '#56b4e9'];
const onDark: OverlayColors = {
  ink: '#ffffff',
  seam: '#000000',
  grid: '#9a9fa5',
  curves: brightCurves,
  font,
};

const colors: Readonly<Record<OverlaySettings['theme'], OverlayColors>> = {
  onDark,
  onLight: {
    ink: '#101214',
    seam: '#ffffff',
    grid: '#6d7176',
    curves: ['#000000', '#a8447e', '#b34a00', '#00704f', '#005a94'],
    font,
  },
  panel: { ...onDark, seam: 'transparent', grid: '#5a6067' },
};

export function colorsOf(theme: OverlaySettings['theme']): OverlayColors {
  return colors[theme];
}
