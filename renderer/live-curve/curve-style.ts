import { CURVE_COLOR_COUNT, curveColorIndex } from '../../shared-lib/charts/tool-colour.ts';

/** Lines of a picture are told apart without colour too: the newest is solid, each earlier one has a dash of its own. */
const dashPatterns = [[], [11, 6], [3, 5], [15, 5, 3, 5]] as const satisfies readonly (readonly number[])[];

export { curveColorIndex };

/** `place`: 0 for the newest curve, then its predecessors. */
export function dashPatternAt(place: number): number[] {
  return [...(dashPatterns[place % dashPatterns.length] ?? [])];
}

export interface CurveColors {
  readonly curves: readonly string[];
  readonly ink: string;
  readonly inkSoft: string;
  readonly line: string;
  readonly lineStrong: string;
  readonly surface: string;
  readonly font: string;
}

/** Resolves the colour tokens for a canvas, as they stand in the theme of the moment. */
export function readCurveColors(host: HTMLElement): CurveColors {
  const probe = document.createElement('span');
  host.append(probe);
  const resolve = (token: string): string => {
    probe.style.color = `var(${token})`;
    return getComputedStyle(probe).color;
  };
  const colors: CurveColors = {
    curves: Array.from({ length: CURVE_COLOR_COUNT }, (_, index) => resolve(`--curve-${index + 1}`)),
    ink: resolve('--color-ink'),
    inkSoft: resolve('--color-ink-soft'),
    line: resolve('--color-line'),
    lineStrong: resolve('--color-line-strong'),
    surface: resolve('--color-surface'),
    font: getComputedStyle(probe).fontFamily,
  };
  probe.remove();
  return colors;
}

/** Calls back when the theme changes, by the program's switch or by the system. Returns the function that ends it. */
export function watchTheme(listener: () => void): () => void {
  const observer = new MutationObserver(listener);
  observer.observe(document.documentElement, { attributes: true, attributeFilter: ['data-theme'] });
  const system = matchMedia('(prefers-color-scheme: dark)');
  system.addEventListener('change', listener);
  return () => {
    observer.disconnect();
    system.removeEventListener('change', listener);
  };
}
