import { useEffect, useState } from 'react';

/** Whether the value has changed within so many ms; what was there at first is not new. */
export function useIsNew(value: unknown, forMs: number): boolean {
  const [known, setKnown] = useState(value);
  useEffect(() => {
    const timer = setTimeout(() => setKnown(value), forMs);
    return () => clearTimeout(timer);
  }, [value, forMs]);
  return known !== value;
}
