import type { EventName, EventPayload } from '../../shared-lib/api-contract.ts';
import type { Clock } from '../platform/clock.ts';
import type { WritableDatabase } from '../storage/database.ts';

/** What the services of schemes, standings and editions are put together from. */
export interface StandingsTools {
  readonly database: WritableDatabase;
  readonly clock: Clock;
  readonly softwareVersion: string;
  operator(): string;
  readonly emit: <Name extends EventName>(name: Name, payload: EventPayload<Name>) => void;
}
