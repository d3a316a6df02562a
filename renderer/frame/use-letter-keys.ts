import { useEffect, useRef, useSyncExternalStore } from 'react';
import { isOverlayOpen } from './open-overlay.ts';

const STORAGE_KEY = 'proofarm.areLetterKeysOff';
const switchListeners = new Set<() => void>();

function subscribeToSwitch(listener: () => void): () => void {
  switchListeners.add(listener);
  return () => switchListeners.delete(listener);
}

function areLetterKeysOn(): boolean {
  return localStorage.getItem(STORAGE_KEY) !== 'true';
}

/** Single keys can be switched off, for those who dictate or type by accident (WCAG 2.2, 2.1.4). Kept by this browser. */
export function switchLetterKeys(areOn: boolean): void {
  localStorage.setItem(STORAGE_KEY, String(!areOn));
  for (const listener of switchListeners) listener();
}

export function useAreLetterKeysOn(): boolean {
  return useSyncExternalStore(subscribeToSwitch, areLetterKeysOn);
}

const TYPING = 'input:not([type=radio], [type=checkbox]), textarea, [contenteditable=true]';

/** Calls what belongs to a key, with no modifier held, no field or dialog under it and no repeat. */
export function useLetterKeys(actions: Readonly<Record<string, () => void>>): void {
  const areOn = useAreLetterKeysOn();
  const actionsRef = useRef(actions);
  useEffect(() => {
    actionsRef.current = actions;
  }, [actions]);
  useEffect(() => {
    if (!areOn) return undefined;
    const onKeyDown = (event: KeyboardEvent): void => {
      if (event.repeat || event.ctrlKey || event.altKey || event.metaKey) return;
      if (event.target instanceof Element && event.target.closest(TYPING) !== null) return;
      if (isOverlayOpen()) return;
      const action = actionsRef.current[event.key.toLowerCase()];
      if (action === undefined) return;
      event.preventDefault();
      action();
    };
    addEventListener('keydown', onKeyDown);
    return () => removeEventListener('keydown', onKeyDown);
  }, [areOn]);
}
