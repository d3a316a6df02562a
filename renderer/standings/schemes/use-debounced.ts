import { useEffect, useState } from 'react';

/** A text that follows another once it has stood still for a while. */
export function useDebounced(text: string, waitMs: number): string {
  const [settled, setSettled] = useState(text);
  useEffect(() => {
    const timer = setTimeout(() => setSettled(text), waitMs);
    return () => clearTimeout(timer);
  }, [text, waitMs]);
  return settled;
}
