import { useEffect, useState } from 'react';

/** A value that follows another once it has stood still for a while. */
export function useDebounced<Value>(value: Value, waitMs: number): Value {
  const [settled, setSettled] = useState(value);
  useEffect(() => {
    const timer = setTimeout(() => setSettled(value), waitMs);
    return () => clearTimeout(timer);
  }, [value, waitMs]);
  return settled;
}
