import type { EventName, EventPayload } from '../shared-lib/api-contract.ts';
import type { backupRequests } from '../shared-lib/backup/backup-requests.ts';
import type { exchangeRequests } from '../shared-lib/exchange/exchange-requests.ts';
import type { overlayRequests } from '../shared-lib/overlay/overlay-model.ts';
import type { publishingRequests } from '../shared-lib/publishing/publishing-requests.ts';
import type { Platform } from './platform/platform.ts';
import type { RequestHandlers, Services } from './services.ts';
import type { SettingsService } from './settings-service.ts';
import type { WritableDatabase } from './storage/database.ts';
import type { Jobs } from './work/jobs.ts';

export type ShareRequestName =
  | keyof typeof publishingRequests
  | keyof typeof exchangeRequests
  | keyof typeof overlayRequests
  | keyof typeof backupRequests;

/** What everything that goes out of the program or comes in from others is put together from. */
export interface ShareTools {
  readonly platform: Platform;
  readonly database: WritableDatabase;
  readonly databasePath: string;
  readonly settings: SettingsService;
  readonly jobs: Jobs;
  /** What is published is what the places show, by the same requests. */
  readonly shown: Omit<RequestHandlers, ShareRequestName>;
  operator(): string;
  /** A trial or a guided run. */
  isBenchBusy(): boolean;
  /**
   * Keeps trials and guided runs from beginning while much is written into the database; returns what lets go of it.
   *
   * Errors: AppError 'invalid-state' while the bench is busy.
   */
  holdBench(what: string): () => void;
  readonly emit: <Name extends EventName>(name: Name, payload: EventPayload<Name>) => void;
  readonly onEvent: Services['onEvent'];
  readonly trialsChanged: (trialId: string) => void;
}
