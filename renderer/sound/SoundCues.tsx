import { useEffect, useEffectEvent, useRef } from 'react';
import { useConnection, useSettings } from '../api-client/ConnectionContext.tsx';
import { playCue, wakeSound } from './play-cue.ts';
import type { CueName } from './cue-patterns.ts';
import './sound-cues.css';

/** At most three flashes a second (WCAG 2.2, 2.3.1). */
const LEAST_BETWEEN_FLASHES_MS = 334;

/**
 * Each cue is heard and seen at the same instant, because ear muffs hide sound: the whole screen changes with it.
 * Past React, so that the two stay together.
 */
export function SoundCues() {
  const connection = useConnection();
  const volume = useSettings()?.soundVolume ?? 0;
  const flashRef = useRef<HTMLDivElement>(null);
  const flashedAt = useRef(Number.NEGATIVE_INFINITY);

  const show = useEffectEvent((cue: CueName) => {
    playCue(cue, volume);
    const now = performance.now();
    if (flashRef.current === null || now - flashedAt.current < LEAST_BETWEEN_FLASHES_MS) return;
    flashedAt.current = now;
    flash(flashRef.current, cue);
  });
  useEffect(() => connection.subscribe('soundCue', ({ cue }) => show(cue)), [connection]);

  useEffect(() => {
    const end = new AbortController();
    for (const kind of ['pointerdown', 'keydown'] as const) {
      addEventListener(kind, wakeSound, { once: true, signal: end.signal });
    }
    return () => end.abort();
  }, []);

  return <div className="cue-flash" ref={flashRef} aria-hidden="true" />;
}

function flash(element: HTMLElement, cue: CueName): void {
  element.dataset['cue'] = cue;
  for (const running of element.getAnimations()) running.cancel();
  const isStill = matchMedia('(prefers-reduced-motion: reduce)').matches;
  const durationMs = cue === 'count' ? 260 : 520;
  // Without motion: a frame that stands for a moment and goes, instead of a fading one.
  element.animate(
    isStill
      ? [{ opacity: 1 }, { opacity: 1 }]
      : [{ opacity: 1 }, { opacity: 1, offset: 0.4 }, { opacity: 0 }],
    { duration: durationMs },
  );
}
