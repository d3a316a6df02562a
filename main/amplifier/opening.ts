import { AppError } from '../../shared-lib/app-error.ts';

/** The one opening of a port that somebody waits for. */
export interface Opening {
  /** Errors: AppError 'invalid-state' while another opening is awaited. */
  refuseAnother(): void;
  begin(): Promise<void>;
  /** Does nothing where nobody waits. */
  settle(error: Error | null): void;
}

export function createOpening(): Opening {
  let pending: { resolve(): void; reject(error: Error): void } | null = null;
  return {
    refuseAnother() {
      if (!pending) return;
      throw new AppError(
        'invalid-state',
        'A connection is being opened already; wait until it stands or fails.',
      );
    },
    begin: () =>
      new Promise((resolve, reject) => {
        pending = { resolve, reject };
      }),
    settle(error) {
      const settled = pending;
      pending = null;
      if (error) settled?.reject(error);
      else settled?.resolve();
    },
  };
}
