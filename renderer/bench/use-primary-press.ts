import { type RefObject, useCallback, useEffect, useRef, useState } from 'react';
import type { PressEvent } from 'react-aria-components';
import { isOverlayOpen } from '../frame/open-overlay.ts';
import {
  decidePress,
  holdFraction,
  initialPressState,
  type PressInput,
  type PressMeaning,
  type PressState,
} from './press-rules.ts';

export interface PrimaryPress {
  /** 0 to 1 while a hold is under way, else 0. */
  readonly holdFraction: number;
  readonly onPressStart: (event: PressEvent) => void;
  readonly onPressEnd: (event: PressEvent) => void;
  readonly onPress: (event: PressEvent) => void;
}

interface PrimaryPressOptions {
  readonly meaning: PressMeaning;
  readonly onPress: () => void;
  readonly onStop: () => void;
  readonly buttonRef: RefObject<HTMLElement | null>;
}

/** Binds the rules to the keyboard of the window and to the button. */
export function usePrimaryPress({ meaning, onPress, onStop, buttonRef }: PrimaryPressOptions): PrimaryPress {
  const stateRef = useRef<PressState>(initialPressState);
  const [shownFraction, setShownFraction] = useState(0);
  const [isHolding, setIsHolding] = useState(false);

  const handlersRef = useRef({ onPress, onStop });
  useEffect(() => {
    handlersRef.current = { onPress, onStop };
  }, [onPress, onStop]);

  const feed = useCallback((input: PressInput): boolean => {
    const { state, outcome, isTaken } = decidePress(stateRef.current, input);
    stateRef.current = state;
    setIsHolding(state.hold !== null);
    if (state.hold === null) setShownFraction(0);
    if (outcome === 'press') handlersRef.current.onPress();
    if (outcome === 'stop') handlersRef.current.onStop();
    return isTaken;
  }, []);

  useEffect(() => {
    feed({ type: 'meaningChanged', meaning, atMs: performance.now() });
  }, [feed, meaning]);

  useEffect(() => {
    if (!isHolding) return undefined;
    let frame = requestAnimationFrame(function step(atMs) {
      setShownFraction(holdFraction(stateRef.current, atMs));
      feed({ type: 'timePassed', atMs });
      frame = requestAnimationFrame(step);
    });
    return () => cancelAnimationFrame(frame);
  }, [feed, isHolding]);

  useEffect(() => watchKeys(feed, buttonRef), [feed, buttonRef]);

  return {
    holdFraction: shownFraction,
    onPressStart: ({ pointerType }) => {
      if (isPointer(pointerType)) feed({ type: 'pointerDown', atMs: performance.now() });
    },
    onPressEnd: ({ pointerType }) => {
      if (isPointer(pointerType)) feed({ type: 'pointerUp', atMs: performance.now() });
    },
    onPress: ({ pointerType }) => {
      // The keyboard is heard on the window; here it would count twice.
      if (pointerType === 'keyboard') return;
      feed({ type: 'clicked', isVirtual: pointerType === 'virtual', atMs: performance.now() });
    },
  };
}

function isPointer(pointerType: PressEvent['pointerType']): boolean {
  return pointerType === 'mouse' || pointerType === 'pen' || pointerType === 'touch';
}

/** Listens before any control does. Returns the function that ends it. */
function watchKeys(
  feed: (input: PressInput) => boolean,
  buttonRef: RefObject<HTMLElement | null>,
): () => void {
  const end = new AbortController();
  const options = { capture: true, signal: end.signal };
  let wasFocusMovedByKey = false;
  let isFocusFromKey = false;
  const takenKeys = new Set<string>();

  addEventListener('pointerdown', () => (wasFocusMovedByKey = false), options);
  addEventListener('focusin', () => (isFocusFromKey = wasFocusMovedByKey), options);
  addEventListener(
    'keydown',
    (event) => {
      wasFocusMovedByKey = event.key === 'Tab' || event.key.startsWith('Arrow');
      const isElsewhere =
        event.ctrlKey ||
        event.altKey ||
        event.metaKey ||
        belongsElsewhere(event.target, buttonRef.current, isFocusFromKey);
      const { key, repeat } = event;
      if (feed({ type: 'keyDown', key, isRepeat: repeat, isElsewhere, atMs: performance.now() })) {
        takenKeys.add(key);
        event.preventDefault();
        event.stopPropagation();
      }
    },
    options,
  );
  addEventListener(
    'keyup',
    (event) => {
      feed({ type: 'keyUp', key: event.key, atMs: performance.now() });
      // A button clicks when Space comes up; a press that was taken must not arrive a second time.
      if (takenKeys.delete(event.key)) event.preventDefault();
    },
    options,
  );
  addEventListener('blur', (event) => event.target === window && feed({ type: 'focusLost' }), options);
  return () => end.abort();
}

const TYPING = 'input:not([type=radio], [type=checkbox]), textarea, [contenteditable=true]';
const CONTROL = 'a[href], button, input, select, [role=button], [tabindex]:not([tabindex="-1"])';

/** A control that was clicked keeps its focus, but its user has gone back to the tool: only the keyboard's own way there counts. */
function belongsElsewhere(
  target: EventTarget | null,
  button: HTMLElement | null,
  isFocusFromKey: boolean,
): boolean {
  if (!(target instanceof Element) || button?.contains(target) === true) return false;
  if (target.closest(TYPING) !== null || isOverlayOpen()) return true;
  return isFocusFromKey && target.closest(CONTROL) !== null;
}
