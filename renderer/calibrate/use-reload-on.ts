import { useEffect, useRef } from 'react';

/** Asks again whenever what was told is another, but for the first time. */
export function useReloadOn(told: string, reload: () => void): void {
  const toldBefore = useRef(told);
  useEffect(() => {
    if (toldBefore.current === told) return;
    toldBefore.current = told;
    reload();
  }, [told, reload]);
}
