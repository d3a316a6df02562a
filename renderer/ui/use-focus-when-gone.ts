import { type FocusEvent, useEffect, useRef } from 'react';

export interface FocusWatch {
  readonly onFocus: (event: FocusEvent<HTMLElement>) => void;
  readonly onBlur: (event: FocusEvent<HTMLElement>) => void;
}

interface Watched {
  readonly control: HTMLElement;
  /** A dialog that the control has opened has the focus. */
  readonly isBehindDialog: boolean;
}

/**
 * For the element around controls that go away by being pressed, or by what is decided in a dialog of theirs: when the one
 * that has the focus, or would get it back, is gone, the focus goes to what `instead` names rather than to the top of the
 * page. Whoever has gone elsewhere meanwhile stays there.
 */
export function useFocusWhenGone(instead: () => HTMLElement | null): FocusWatch {
  const watched = useRef<Watched | null>(null);
  const left = useRef<HTMLElement | null>(null);
  // After each drawing: what the browser does with the focus of a removed element is told to nobody, and what lay behind a
  // dialog takes no focus before that.
  useEffect(() => {
    const { current } = watched;
    if (current === null || current.control.isConnected) return;
    const isNowhere = document.activeElement === document.body;
    // While its dialog is still open, its end is waited for.
    if (isNowhere || !current.isBehindDialog) watched.current = null;
    if (isNowhere) instead()?.focus();
  });
  return {
    onFocus({ target, currentTarget }) {
      // Dialogs hand their events on to where they stand in the source, and give the focus back to what opened them.
      if (currentTarget.contains(target)) watched.current = { control: target, isBehindDialog: false };
      else if (left.current !== null) watched.current = { control: left.current, isBehindDialog: true };
    },
    onBlur({ target, currentTarget }) {
      watched.current = null;
      if (currentTarget.contains(target)) left.current = target;
    },
  };
}
