import type { AppError } from '../../../shared-lib/app-error.ts';
import type { PublishingOrder } from '../../../shared-lib/publishing/publishing-model.ts';
import { useConnection } from '../../api-client/ConnectionContext.tsx';
import { useAction } from '../../api-client/use-action.ts';

export interface Publishing {
  readonly isBusy: boolean;
  readonly error: AppError | null;
  readonly publish: (order: PublishingOrder) => void;
}

/** Has a file made; from then on it is told of as a job. */
export function usePublishing(): Publishing {
  const connection = useConnection();
  const { run, isBusy, error } = useAction();
  return {
    isBusy,
    error,
    publish: (order) => void run(() => connection.request('startPublishing', { order })),
  };
}
