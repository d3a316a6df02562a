import { type FocusEvent, useLayoutEffect, useRef } from 'react';

export interface FocusWatch {
  readonly onFocus: (event: FocusEvent<HTMLElement>) => void;
  readonly onBlur: () => void;
}

/**
 * For the element around controls that go away by being pressed: when the one that has the focus is gone, the focus goes to what
 * `instead` names rather than to the top of the page. Whoever has gone elsewhere meanwhile stays there.
 */
export function useFocusWhenGone(instead: () => HTMLElement | null): FocusWatch {
  const focused = useRef<HTMLElement | null>(null);
  // With each drawing: what the browser does with the focus of a removed element is told to nobody.
  useLayoutEffect(() => {
    if (focused.current === null || focused.current.isConnected) return;
    focused.current = null;
    if (document.activeElement === document.body) instead()?.focus();
  });
  return {
    onFocus({ target, currentTarget }) {
      // Dialogs hand their events on to where they stand in the source, and give the focus back by themselves.
      if (currentTarget.contains(target)) focused.current = target;
    },
    onBlur() {
      focused.current = null;
    },
  };
}
