import { useCallback, useState } from 'react';
import { AppError } from '../../shared-lib/app-error.ts';

export interface ActionState {
  readonly isBusy: boolean;
  readonly error: AppError | null;
  /** True where the action went through; its expected failure becomes `error` and stays until the next run. */
  readonly run: (action: () => Promise<unknown>) => Promise<boolean>;
  readonly clearError: () => void;
}

export function useAction(): ActionState {
  const [isBusy, setIsBusy] = useState(false);
  const [error, setError] = useState<AppError | null>(null);

  const run = useCallback(async (action: () => Promise<unknown>) => {
    setIsBusy(true);
    setError(null);
    try {
      await action();
      return true;
    } catch (failure) {
      if (!(failure instanceof AppError)) throw failure;
      setError(failure);
      return false;
    } finally {
      setIsBusy(false);
    }
  }, []);
  const clearError = useCallback(() => setError(null), []);

  return { isBusy, error, run, clearError };
}
