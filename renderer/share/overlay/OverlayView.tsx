/** The overlay for a capture program: its address, its looks, the sync mark. */
export function OverlayView() {
  return null;
}
