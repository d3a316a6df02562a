import type { Connection } from '../../shared-lib/api-contract.ts';

/**
 * How this window stands to the services.
 *
 * `refused`: the services answer but do not accept this window's token, which belongs to an earlier start.
 */
export type LinkState = 'connecting' | 'open' | 'lost' | 'refused';

export interface LinkedConnection extends Connection {
  getLinkState(): LinkState;
  /** Returns the function that ends the subscription. */
  subscribeToLinkState(listener: () => void): () => void;
}
