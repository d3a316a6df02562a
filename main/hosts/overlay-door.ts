import type { OverlayDoor, OverlayDoorOptions } from '../platform/platform.ts';

/**
 * Serves the overlay page and its socket, and nothing else, to whoever has the token.
 *
 * Errors: AppError 'overlay-unavailable' where the port is taken.
 */
export function startOverlayDoor(_options: OverlayDoorOptions): Promise<OverlayDoor> {
  throw new Error('Not built yet');
}
