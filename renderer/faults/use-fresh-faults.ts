import { useEffect, useState } from 'react';
import type { BenchStatus } from '../../shared-lib/bench-status.ts';
import type { FaultEvent } from '../../shared-lib/trial/trial-model.ts';
import { FRESH_MS, freshFaults } from './fresh-faults.ts';

export function useFreshFaults(status: BenchStatus | null, isBesideAlarm: boolean): FaultEvent[] {
  const [nowMs, setNowMs] = useState(() => Date.now());
  const faults = status?.recentFaults ?? [];
  const newestAt = faults[0]?.at ?? null;
  useEffect(() => {
    if (newestAt === null) return undefined;
    const timer = setInterval(() => {
      const now = Date.now();
      setNowMs(now);
      if (Date.parse(newestAt) <= now - FRESH_MS) clearInterval(timer);
    }, 1000);
    return () => clearInterval(timer);
  }, [newestAt]);
  return freshFaults(faults, nowMs, status?.amplifier.problem?.sentence ?? null, isBesideAlarm);
}
