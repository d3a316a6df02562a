import type { EventName, EventPayload } from '../../shared-lib/api-contract.ts';
import type { Clock } from '../platform/clock.ts';
import type { WritableDatabase } from '../storage/database.ts';

/** What the services of the catalogue of tools are put together from. */
export interface CatalogueTools {
  readonly database: WritableDatabase;
  readonly clock: Clock;
  readonly operator: () => string;
  readonly emit: <Name extends EventName>(name: Name, payload: EventPayload<Name>) => void;
}

/** Who does it, and when, as it is stored beside what is done. */
export function byNow({ clock, operator }: Pick<CatalogueTools, 'clock' | 'operator'>): {
  readonly operator: string;
  readonly at: string;
} {
  return { operator: operator(), at: clock.now().toISOString() };
}
