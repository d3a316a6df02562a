import type { CaptureSummary } from '../../../shared-lib/api-contract.ts';
import type { AmplifierStatus } from '../../../shared-lib/bench-status.ts';
import { formatDuration, formatNumber, THIN_SPACE } from '../../../shared-lib/format-quantity.ts';
import { formatTrialTime } from '../../ui/date-time.ts';

/** Whole bytes up to 10 kB, then three figures or so: a capture grows by kilobytes a second. */
export function formatBytes(bytes: number): string {
  if (bytes < 10_000) return `${formatNumber(bytes, 0)}${THIN_SPACE}B`;
  if (bytes < 1e6) return `${formatNumber(bytes / 1000, 0)}${THIN_SPACE}kB`;
  if (bytes < 1e9) return `${formatNumber(bytes / 1e6, 1)}${THIN_SPACE}MB`;
  return `${formatNumber(bytes / 1e9, 2)}${THIN_SPACE}GB`;
}

/** Size, time, profile and instant of a capture that has ended. */
export function captureFacts({ bytes, durationS, startedAt, profileName }: CaptureSummary): string {
  return [formatTrialTime(startedAt), formatDuration(durationS, 1), formatBytes(bytes), profileName].join(
    ' · ',
  );
}

/** Why a capture cannot be started now; null: it can. */
export function captureObstacle({ source, link }: AmplifierStatus): string | null {
  if (source === 'simulated') return 'The simulated bench has no port: its lines are made in the program.';
  if (source === 'replayed') return 'What is replayed now is a capture already.';
  if (source === 'none' || link === 'disconnected' || link === 'failed') return 'Connect an amplifier first.';
  return null;
}
