import type { EventName, EventPayload } from '../../shared-lib/api-contract.ts';
import type { BenchService } from '../bench/bench-service.ts';
import type { BenchSheet } from '../bench/bench-sheet.ts';
import type { Platform } from '../platform/platform.ts';
import type { SettingsService } from '../settings-service.ts';
import type { WritableDatabase } from '../storage/database.ts';

/** What the services of setups, plans, run sheets and sessions are put together from. */
export interface RunSheetTools {
  readonly platform: Pick<Platform, 'clock'>;
  readonly database: WritableDatabase;
  readonly settings: SettingsService;
  readonly bench: BenchService;
  readonly sheetOnBench: BenchSheet;
  emit<Name extends EventName>(name: Name, payload: EventPayload<Name>): void;
  statusChanged(): void;
}
