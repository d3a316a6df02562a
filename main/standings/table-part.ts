import { findSensitivity } from '../../shared-lib/standings/sensitivity.ts';
import { diffStandings } from '../../shared-lib/standings/diff-standings.ts';
import type { RequestHandlers } from '../services.ts';
import { retryWhenLocked } from '../storage/retry-when-locked.ts';
import {
  getStandingsTable,
  listStandingsTables,
  saveStandingsTable,
} from '../storage/standings-table-repository.ts';
import { findingsOf, refuseStopped } from './check-draft.ts';
import type { RangesPart } from './ranges-part.ts';
import type { TableReader } from './read-table.ts';
import { listVersions } from './schemes.ts';
import type { Slices } from './slices.ts';
import type { StandingsTools } from './standings-tools.ts';

type Names =
  | 'listStandingsTables'
  | 'saveStandingsTable'
  | 'getStandings'
  | 'previewStandings'
  | 'getPlaceRanges'
  | 'getSensitivity';

const SENSITIVITY = { seed: 1, weightingCount: 2000 } as const;

/** Tables and the order in them, as they are and as they would be under another scheme or other weights. */
export function createTablePart(
  { database, clock, emit }: StandingsTools,
  reader: TableReader,
  {
    slices,
    ranges,
  }: { readonly slices: Pick<Slices, 'start'>; readonly ranges: Pick<RangesPart, 'rangesOf'> },
): { readonly handlers: Pick<RequestHandlers, Names> } {
  return {
    handlers: {
      listStandingsTables: () => ({ tables: listStandingsTables(database) }),
      saveStandingsTable: ({ table }) =>
        retryWhenLocked(() => {
          // It has to be there.
          listVersions(database, table.schemeId);
          saveStandingsTable(database, table, clock.now().toISOString());
          emit('standingsChanged', {});
          return {};
        }),
      getStandings: ({ tableId }) => reader.stateOf(tableId).standings,
      previewStandings({ tableId, schemeId, draft }) {
        const table = getStandingsTable(database, tableId);
        const findings = findingsOf({ database, reader }, { draft, schemeId, tableId });
        refuseStopped(findings, 'There is no order under this scheme.');
        const preview = reader.previewOf(table, draft, schemeId);
        const { changes } = diffStandings(reader.stateOf(tableId), preview);
        return { standings: preview.standings, changes, findings };
      },
      getPlaceRanges: ({ tableId }) => ranges.rangesOf(tableId, reader.stateOf(tableId)),
      getSensitivity({ tableId }) {
        const { input, standings } = reader.stateOf(tableId);
        return slices.start(findSensitivity(input, standings, SENSITIVITY)).result;
      },
    },
  };
}
