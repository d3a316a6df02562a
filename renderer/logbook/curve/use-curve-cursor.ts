import { type KeyboardEvent, type PointerEvent, type RefObject, useRef, useState } from 'react';
import { type CurveCursor, moveCursor, noCursor, within } from './curve-cursor.ts';
import type { CurveWindow } from './curve-window.ts';
import type { TrialChart } from './trial-chart.ts';

interface CurveInSight {
  readonly window: CurveWindow;
  /** The smallest that the picture shows. */
  readonly stepS: number;
}

export interface CursorHandlers {
  readonly onKeyDown: (event: KeyboardEvent) => void;
  readonly onPointerMove: (event: PointerEvent<HTMLElement>) => void;
  readonly onPointerDown: (event: PointerEvent<HTMLElement>) => void;
  readonly onPointerUp: (event: PointerEvent<HTMLElement>) => void;
}

export interface CursorView {
  readonly cursor: CurveCursor;
  readonly clearSelection: () => void;
  readonly handlers: (chart: RefObject<TrialChart | null>) => CursorHandlers;
}

/** A cursor that follows the pointer, and the arrow keys while the picture has the focus. */
export function useCurveCursor(sight: CurveInSight | null, isDragSelect: boolean): CursorView {
  const [cursor, setCursor] = useState<CurveCursor>(noCursor);
  const isSelecting = useRef(false);
  const handlers = (chart: RefObject<TrialChart | null>): CursorHandlers => {
    const timeOf = (event: PointerEvent<HTMLElement>): number | null => {
      if (sight === null || chart.current === null) return null;
      const { left } = event.currentTarget.getBoundingClientRect();
      const timeS = chart.current.timeAt(event.clientX - left);
      return Number.isNaN(timeS) ? null : within(timeS, sight.window);
    };
    return {
      onKeyDown: (event) => {
        if (sight === null || event.ctrlKey || event.altKey || event.metaKey) return;
        const next = moveCursor(cursor, event, sight.window, sight.stepS);
        if (next === null) return;
        event.preventDefault();
        setCursor(next);
      },
      onPointerMove: (event) => {
        const timeS = timeOf(event);
        if (timeS === null) return;
        const isDragged = isSelecting.current;
        setCursor(({ cursorS, selection }) => ({
          cursorS: timeS,
          selection: isDragged
            ? { anchorS: selection?.anchorS ?? cursorS ?? timeS, headS: timeS }
            : selection,
        }));
      },
      onPointerDown: (event) => {
        const timeS = timeOf(event);
        if (!isDragSelect || timeS === null || event.button !== 0) return;
        event.currentTarget.setPointerCapture(event.pointerId);
        isSelecting.current = true;
        setCursor({ cursorS: timeS, selection: { anchorS: timeS, headS: timeS } });
      },
      onPointerUp: () => {
        isSelecting.current = false;
      },
    };
  };
  return {
    cursor,
    clearSelection: () => setCursor(({ cursorS }) => ({ cursorS, selection: null })),
    handlers,
  };
}
