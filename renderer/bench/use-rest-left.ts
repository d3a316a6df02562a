import { useEffect, useState } from 'react';

const TICK_MS = 200;

/**
 * Counts a rest down between two statuses, on this window's own clock: the time of day may be set meanwhile. `restLeftS` is as the
 * services said it last; 0: it has just ended, and the next status is about to say so.
 */
export function useRestLeft(restLeftS: number | null): number | null {
  const [counted, setCounted] = useState<{ readonly from: number; readonly leftS: number } | null>(null);
  useEffect(() => {
    if (restLeftS === null) return undefined;
    const endsAt = performance.now() + restLeftS * 1000;
    const timer = setInterval(() => {
      const leftS = Math.max((endsAt - performance.now()) / 1000, 0);
      setCounted({ from: restLeftS, leftS });
      if (leftS === 0) clearInterval(timer);
    }, TICK_MS);
    return () => clearInterval(timer);
  }, [restLeftS]);
  if (restLeftS === null) return null;
  return counted?.from === restLeftS ? counted.leftS : restLeftS;
}
