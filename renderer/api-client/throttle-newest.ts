/** Passes on the first value at once and then at most one per interval, always the newest; what lies between is skipped. */
export interface NewestThrottle<Value> {
  readonly take: (value: Value) => void;
  /** Nothing is shown after this. */
  readonly stop: () => void;
}

export function throttleNewest<Value>(
  intervalMs: number,
  show: (value: Value) => void,
): NewestThrottle<Value> {
  let timer: ReturnType<typeof setTimeout> | null = null;
  let waiting: { readonly value: Value } | null = null;
  const take = (value: Value): void => {
    if (timer !== null) {
      waiting = { value };
      return;
    }
    waiting = null;
    timer = setTimeout(() => {
      timer = null;
      if (waiting !== null) take(waiting.value);
    }, intervalMs);
    show(value);
  };
  return {
    take,
    stop: () => {
      if (timer !== null) clearTimeout(timer);
      timer = null;
      waiting = null;
    },
  };
}
