import { type RefObject, useEffect, useRef } from 'react';

/** What took the place of something that was pressed: the eye and the keyboard go there once it stands. */
export function useArrivalFocus<Element extends HTMLElement>(): RefObject<Element | null> {
  const ref = useRef<Element>(null);
  useEffect(() => {
    ref.current?.focus({ preventScroll: true });
    ref.current?.scrollIntoView({ block: 'center' });
  }, []);
  return ref;
}
