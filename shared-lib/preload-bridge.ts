import type { Reply } from './api-contract.ts';

/**
 * What the desktop window's preload script exposes as `window.proofarm`; the page in a browser has none.
 *
 * Failures come back as data, because an error object loses its code on the way through the bridge. A rejection means
 * that the main process is gone.
 */
export interface PreloadBridge {
  request(name: string, params: unknown): Promise<Reply>;
  /** Returns the function that ends the subscription. */
  subscribe(name: string, listener: (payload: unknown) => void): () => void;
}
