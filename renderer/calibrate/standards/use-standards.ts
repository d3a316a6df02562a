import type { RequestParams } from '../../../shared-lib/api-contract.ts';
import type { AppError } from '../../../shared-lib/app-error.ts';
import type { Standard, Standards } from '../../../shared-lib/calibration/standards-model.ts';
import { useConnection } from '../../api-client/ConnectionContext.tsx';
import { useRequest } from '../../api-client/use-request.ts';

export interface StandardsList {
  /** Null until they are known. */
  readonly standards: Standards | null;
  readonly error: AppError | null;
  readonly save: (standard: Standard) => Promise<void>;
  readonly remove: (which: RequestParams<'removeStandard'>) => Promise<void>;
}

/** The lists of weights, arms and places, and how they are changed. */
export function useStandards(): StandardsList {
  const connection = useConnection();
  const { result, error } = useRequest('listStandards', {}, 'standardsChanged');
  return {
    standards: result,
    error,
    save: async (standard) => {
      await connection.request('saveStandard', { standard });
    },
    remove: async (which) => {
      await connection.request('removeStandard', which);
    },
  };
}
