import { computeStandings } from '../../shared-lib/standings/compute-standings.ts';
import type { SchemeDraft, SchemeVersion } from '../../shared-lib/standings/scheme-model.ts';
import type {
  Standings,
  StandingsInput,
  StandingsTable,
} from '../../shared-lib/standings/standings-model.ts';
import { localDay } from '../platform/local-day.ts';
import { schemeNotFound } from '../storage/scheme-repository.ts';
import { getStandingsTable } from '../storage/standings-table-repository.ts';
import { gatherInput } from './gather-input.ts';
import { DRAFT_ID, listNewestSchemes, withReferences } from './schemes.ts';
import type { StandingsTools } from './standings-tools.ts';

export interface TableState {
  readonly input: StandingsInput;
  readonly standings: Standings;
}

/** Standings as they are at the moment of asking, always from nothing: there is no result that could go stale. */
export interface TableReader {
  /** Errors: AppError 'standings-not-found', 'scheme-not-found'. */
  stateOf(tableId: string): TableState;
  /** Under a scheme that is not stored, in the place of the table's own: the next version of `schemeId`, or a new one (null). */
  previewOf(table: StandingsTable, draft: SchemeDraft, schemeId: string | null): TableState;
  /** What a table would be computed from, were `first` its scheme. */
  inputUnder(table: StandingsTable, first: SchemeVersion): StandingsInput;
}

export function createTableReader({
  database,
  clock,
}: Pick<StandingsTools, 'database' | 'clock'>): TableReader {
  const inputUnder: TableReader['inputUnder'] = (table, first) =>
    gatherInput(database, {
      table,
      schemes: withReferences(first, listNewestSchemes(database)),
      on: localDay(clock.now()),
    });
  const schemeOf = ({ schemeId }: StandingsTable): SchemeVersion => {
    const scheme = listNewestSchemes(database).find((candidate) => candidate.schemeId === schemeId);
    if (scheme === undefined) throw schemeNotFound(schemeId);
    return scheme;
  };

  return {
    inputUnder,
    stateOf(tableId) {
      const table = getStandingsTable(database, tableId);
      return stateFrom(inputUnder(table, schemeOf(table)));
    },
    previewOf(table, draft, schemeId) {
      const newest = listNewestSchemes(database).find((candidate) => candidate.schemeId === schemeId);
      const drafted: SchemeVersion = {
        ...draft,
        schemeId: schemeId ?? DRAFT_ID,
        version: (newest?.version ?? 0) + 1,
        operator: '',
        createdAt: clock.now().toISOString(),
      };
      return stateFrom(inputUnder(table, drafted));
    },
  };
}

function stateFrom(input: StandingsInput): TableState {
  const standings = computeStandings(input);
  return { input, standings: { ...standings, cautions: [...(input.benches ?? []), ...standings.cautions] } };
}
