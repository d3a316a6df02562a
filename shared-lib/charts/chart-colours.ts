import type { ChartLook } from './chart-model.ts';

/** Colours of a picture, `#rrggbb`. */
export interface ChartColours {
  readonly ground: string;
  readonly ink: string;
  readonly inkSoft: string;
  readonly grid: string;
  readonly axis: string;
  /** What is there without a name of its own. */
  readonly ghost: string;
  /** Behind what it says something about: an interval, a band of limits. */
  readonly band: string;
  /** In the order of the page's curve colours. */
  readonly curves: readonly [string, string, string, string, string];
}

/**
 * The set of Okabe and Ito (2002, "Color Universal Design"), of it those that keep 3:1 on the ground; black only on light. The same as
 * --curve-1 to --curve-5 of the page, so that a tool looks alike in both.
 */
const themes = {
  light: {
    ground: '#ffffff',
    ink: '#17181a',
    inkSoft: '#46484c',
    grid: '#e1e1dd',
    axis: '#7f807d',
    ghost: '#c4c4c0',
    band: '#ececea',
    curves: ['#000000', '#cc79a7', '#d55e00', '#009e73', '#0072b2'],
  },
  dark: {
    ground: '#121416',
    ink: '#f1f2f2',
    inkSoft: '#b9bec3',
    grid: '#2b3034',
    axis: '#858c93',
    ghost: '#4a5156',
    band: '#23282b',
    curves: ['#f0e442', '#cc79a7', '#d55e00', '#009e73', '#56b4e9'],
  },
} as const satisfies Record<ChartLook['theme'], ChartColours>;

export function coloursOf(theme: ChartLook['theme']): ChartColours {
  return themes[theme];
}

/** A colour on its way to another: 0 the first, 1 the second. For light lines that a transparent ground must not change. */
export function mixColours(first: string, second: string, share: number): string {
  const part = (at: number): string => {
    const [from, to] = [first, second].map((colour) => Number.parseInt(colour.slice(at, at + 2), 16));
    const mixed = Math.round((from ?? 0) + ((to ?? 0) - (from ?? 0)) * share);
    return mixed.toString(16).padStart(2, '0');
  };
  return `#${part(1)}${part(3)}${part(5)}`;
}

/** As multiples of the line's width: told apart in black and white, and where two tools share a colour. */
const dashPatterns = [[], [5, 2.6], [1.5, 2], [6, 2, 1.5, 2], [10, 2.6]] as const;

export function dashOf(place: number, widthPx: number): number[] {
  return (dashPatterns[place % dashPatterns.length] ?? []).map((part) => part * widthPx);
}
