import type { EventName, EventPayload } from '../../shared-lib/api-contract.ts';
import type { standingsRequests } from '../../shared-lib/standings/standings-requests.ts';
import type { Clock } from '../platform/clock.ts';
import type { RequestHandlers } from '../services.ts';
import type { WritableDatabase } from '../storage/database.ts';

/** What the services of schemes, standings and editions are put together from. */
export interface StandingsTools {
  readonly database: WritableDatabase;
  readonly clock: Clock;
  operator(): string;
  emit<Name extends EventName>(name: Name, payload: EventPayload<Name>): void;
}

/** All that ranks tools, as one part of the program. */
export function createStandingsParts(_tools: StandingsTools): {
  readonly handlers: Pick<RequestHandlers, keyof typeof standingsRequests>;
  close(): void;
} {
  const notYet = (): never => {
    throw new Error('Not built yet');
  };
  return {
    handlers: {
      listSchemes: notYet,
      listSchemeVersions: notYet,
      checkScheme: notYet,
      saveScheme: notYet,
      archiveScheme: notYet,
      listStandingsTables: notYet,
      saveStandingsTable: notYet,
      getStandings: notYet,
      previewStandings: notYet,
      getPlaceRanges: notYet,
      getSensitivity: notYet,
      getStandingsCell: notYet,
      makeEdition: notYet,
      listEditions: notYet,
      getEdition: notYet,
      compareEditions: notYet,
    },
    close() {},
  };
}
