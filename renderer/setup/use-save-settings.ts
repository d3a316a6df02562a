import type { Settings } from '../../shared-lib/api-contract.ts';
import type { AppError } from '../../shared-lib/app-error.ts';
import { useConnection } from '../api-client/ConnectionContext.tsx';
import { useAction } from '../api-client/use-action.ts';

export interface SaveSettings {
  readonly save: (change: Partial<Settings>) => Promise<boolean>;
  readonly error: AppError | null;
}

export function useSaveSettings(): SaveSettings {
  const connection = useConnection();
  const { run, error } = useAction();
  return { save: (change) => run(() => connection.request('updateSettings', change)), error };
}
