import type { CurveWindow } from './curve-window.ts';

/** Where the cursor stands and what is selected, in seconds from onset. */
export interface CurveCursor {
  readonly cursorS: number | null;
  readonly selection: Selection | null;
}

/** From where it was begun to where it has come; either may be the earlier one. */
export interface Selection {
  readonly anchorS: number;
  readonly headS: number;
}

export const noCursor: CurveCursor = { cursorS: null, selection: null };

/** A page is this share of what is in sight. */
const PAGE_SHARE = 0.05;

interface CursorKey {
  readonly key: string;
  readonly shiftKey: boolean;
}

/**
 * What a key makes of the cursor; null: the key is none of its own. Arrows go by one step, the smallest that the picture
 * shows, pages by a twentieth of what is in sight; with Shift they select on the way. Escape lets go of the selection first.
 */
export function moveCursor(
  { cursorS, selection }: CurveCursor,
  { key, shiftKey }: CursorKey,
  window: CurveWindow,
  stepS: number,
): CurveCursor | null {
  if (key === 'Escape') {
    if (selection !== null) return { cursorS, selection: null };
    return cursorS === null ? null : noCursor;
  }
  const fromS = cursorS ?? startOf(window);
  const targetS = targetOf(key, fromS, window, stepS);
  if (targetS === null) return null;
  const next = within(targetS, window);
  if (!shiftKey) return { cursorS: next, selection: null };
  return { cursorS: next, selection: { anchorS: selection?.anchorS ?? fromS, headS: next } };
}

/** The selection as a window; null where nothing is selected. */
export function selectedWindow({ selection }: CurveCursor): CurveWindow | null {
  return windowOf(selection);
}

export function windowOf(selection: Selection | null): CurveWindow | null {
  if (selection === null || selection.anchorS === selection.headS) return null;
  const { anchorS, headS } = selection;
  return { fromS: Math.min(anchorS, headS), toS: Math.max(anchorS, headS) };
}

export function within(timeS: number, { fromS, toS }: CurveWindow): number {
  return Math.min(Math.max(timeS, fromS), toS);
}

/** Onset where it is in sight: most of what is asked lies behind it. */
function startOf(window: CurveWindow): number {
  return within(0, window);
}

function targetOf(key: string, fromS: number, window: CurveWindow, stepS: number): number | null {
  const pageS = (window.toS - window.fromS) * PAGE_SHARE;
  switch (key) {
    case 'ArrowRight':
    case 'ArrowUp':
      return fromS + stepS;
    case 'ArrowLeft':
    case 'ArrowDown':
      return fromS - stepS;
    case 'PageDown':
      return fromS + pageS;
    case 'PageUp':
      return fromS - pageS;
    case 'Home':
      return window.fromS;
    case 'End':
      return window.toS;
    default:
      return null;
  }
}
