import type { Subject } from '../../../shared-lib/publishing/publishing-model.ts';

export interface ReplayViewProps {
  /** Whose trials are replayed; null: they are to be chosen. */
  readonly subject: Subject | null;
}

/** Stored trials at true speed, side by side, and a video file of it. */
export function ReplayView(_props: ReplayViewProps) {
  return null;
}
