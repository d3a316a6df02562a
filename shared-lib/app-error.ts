/**
 * Every expected failure has a code from this closed list. Nobody matches on the wording.
 *
 * A message says what happened, what it means for the data and what to do next.
 */
export const errorCodes = [
  'invalid-request',
  'unknown-request',
  'invalid-state',
  'internal',
  'not-authorised',
  'connection-lost',
  'shutting-down',
  'port-not-found',
  'port-permission-denied',
  'port-busy',
  'port-failed',
  'capture-damaged',
  'capture-not-found',
  'reader-failed',
  'amplifier-not-connected',
  'amplifier-silent',
  'amplifier-not-found',
  'rate-too-low',
  'profile-invalid',
  'profile-not-found',
  'calibration-missing',
  'calibration-sense-missing',
  'calibration-degenerate',
  'calibration-not-found',
  'calibration-run-not-found',
  'standard-not-found',
  'bench-item-not-found',
  'plan-not-found',
  'plan-invalid',
  'run-sheet-not-found',
  'run-sheet-invalid',
  'bench-moved-on',
  'session-not-found',
  'tool-not-found',
  'photo-not-found',
  'photo-invalid',
  'rating-not-found',
  'import-refused',
  'contender-not-found',
  'scheme-not-found',
  'scheme-invalid',
  'standings-not-found',
  'edition-not-found',
  'subject-not-found',
  'published-not-found',
  'upload-not-found',
  'package-invalid',
  'package-conflict',
  'backup-not-found',
  'backup-damaged',
  'overlay-unavailable',
  'cancelled',
  'input-out-of-range',
  'not-steady',
  'at-rail',
  'not-unloaded',
  'sense-not-confirmed',
  'safety-not-confirmed',
  'transducer-incomplete',
  'transducer-not-found',
  'trial-not-found',
  'trial-not-finished',
  'no-onset',
  'block-corrupt',
  'database-locked',
  'database-damaged',
  'database-too-new',
  'migration-failed',
  'data-folder-unusable',
  'already-running',
  'disk-full',
  'storage-failed',
] as const;

export type ErrorCode = (typeof errorCodes)[number];

export type ErrorDetails = Readonly<Record<string, string | number | boolean | null>>;

export class AppError extends Error {
  override readonly name = 'AppError';
  readonly code: ErrorCode;
  readonly details: ErrorDetails;

  constructor(code: ErrorCode, message: string, details: ErrorDetails = {}, cause?: unknown) {
    super(message, cause === undefined ? undefined : { cause });
    this.code = code;
    this.details = details;
  }
}
