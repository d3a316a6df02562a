import { useEffect, useState } from 'react';
import type { BenchStatus } from '../../shared-lib/bench-status.ts';
import { ScreenWake } from './screen-wake.ts';

/** Whether nobody may touch the screen for a while, though it must be read. */
export function needsAwakeScreen(status: BenchStatus | null): boolean {
  if (status === null) return false;
  return status.runSheet !== null || !restingPhases.has(status.trial.phase);
}

const restingPhases: ReadonlySet<BenchStatus['trial']['phase']> = new Set(['idle', 'kept', 'interrupted']);

/** Keeps the screen awake as long as it is wanted and this component stands. */
export function useScreenWake(isWanted: boolean): void {
  const [wake] = useState(
    () =>
      new ScreenWake({
        request: 'wakeLock' in navigator ? () => navigator.wakeLock.request('screen') : null,
        isVisible: () => document.visibilityState === 'visible',
      }),
  );
  useEffect(() => {
    void wake.want(isWanted);
    return () => void wake.want(false);
  }, [wake, isWanted]);
  useEffect(() => {
    const onChange = (): void => void wake.visibilityChanged();
    document.addEventListener('visibilitychange', onChange);
    return () => document.removeEventListener('visibilitychange', onChange);
  }, [wake]);
}
