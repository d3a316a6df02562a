import { type KeyboardEvent, type PointerEvent, type RefObject, useRef, useState } from 'react';
import {
  type CurveCursor,
  moveCursor,
  noCursor,
  type Selection,
  selectedWindow,
  windowOf,
  within,
} from './curve-cursor.ts';
import type { CurveWindow } from './curve-window.ts';
import type { TrialChart } from './trial-chart.ts';

interface CurveInSight {
  readonly window: CurveWindow;
  /** The smallest that the picture shows. */
  readonly stepS: number;
}

/** What a drag across the picture does with the stretch it goes over. */
export type Drag = 'closer' | 'select';

/** A hand that presses moves a little too. */
const LEAST_DRAG_PX = 4;

export interface CursorHandlers {
  readonly onKeyDown: (event: KeyboardEvent) => void;
  readonly onPointerMove: (event: PointerEvent<HTMLElement>) => void;
  readonly onPointerDown: (event: PointerEvent<HTMLElement>) => void;
  readonly onPointerUp: (event: PointerEvent<HTMLElement>) => void;
  readonly onPointerCancel: () => void;
}

export interface CursorView {
  readonly cursorS: number | null;
  /** What the figures are to be of; null: nothing is selected. */
  readonly selected: CurveWindow | null;
  /** What is marked in the picture: the selection, or where a drag that looks closer has come. */
  readonly marked: CurveWindow | null;
  readonly clearSelection: () => void;
  readonly handlers: (chart: RefObject<TrialChart | null>) => CursorHandlers;
}

/** A cursor that follows the pointer, and the arrow keys while the picture has the focus. */
export function useCurveCursor(
  sight: CurveInSight | null,
  drag: Drag,
  onCloser: (window: CurveWindow) => void,
): CursorView {
  const [cursor, setCursor] = useState<CurveCursor>(noCursor);
  /** Under way to look closer; it becomes no selection. */
  const [closer, setCloser] = useState<Selection | null>(null);
  const pressedX = useRef<number | null>(null);
  const letGo = (): void => {
    pressedX.current = null;
    setCloser(null);
  };
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
        const isSelecting = pressedX.current !== null && drag === 'select';
        setCursor(({ cursorS, selection }) => ({
          cursorS: timeS,
          selection: isSelecting
            ? { anchorS: selection?.anchorS ?? cursorS ?? timeS, headS: timeS }
            : selection,
        }));
        if (closer !== null) setCloser({ ...closer, headS: timeS });
      },
      onPointerDown: (event) => {
        const timeS = timeOf(event);
        if (timeS === null || event.button !== 0) return;
        event.currentTarget.setPointerCapture(event.pointerId);
        pressedX.current = event.clientX;
        const pressed = { anchorS: timeS, headS: timeS };
        if (drag === 'closer') setCloser(pressed);
        else setCursor({ cursorS: timeS, selection: pressed });
      },
      onPointerUp: (event) => {
        const dragged = windowOf(closer);
        const draggedPx = Math.abs(event.clientX - (pressedX.current ?? event.clientX));
        letGo();
        if (dragged !== null && draggedPx >= LEAST_DRAG_PX) onCloser(dragged);
      },
      onPointerCancel: letGo,
    };
  };
  return {
    cursorS: cursor.cursorS,
    selected: selectedWindow(cursor),
    marked: windowOf(closer) ?? selectedWindow(cursor),
    clearSelection: () => setCursor(({ cursorS }) => ({ cursorS, selection: null })),
    handlers,
  };
}
