import { randomUUID } from 'node:crypto';
import { diffStandings } from '../../shared-lib/standings/diff-standings.ts';
import type { Edition, EditionSummary } from '../../shared-lib/standings/standings-model.ts';
import { DEFINITION_VERSION, measuresVersionOf } from '../../shared-lib/trial/definition-version.ts';
import type { RequestHandlers } from '../services.ts';
import { getEdition, insertEdition, listEditions, packContent } from '../storage/edition-repository.ts';
import { retryWhenLocked } from '../storage/retry-when-locked.ts';
import { getStandingsTable } from '../storage/standings-table-repository.ts';
import type { RangesPart } from './ranges-part.ts';
import type { TableReader } from './read-table.ts';
import { sinceThen } from './since-then.ts';
import type { StandingsTools } from './standings-tools.ts';

type Names = 'makeEdition' | 'listEditions' | 'getEdition' | 'compareEditions';

/** Standings that were frozen with everything behind them, and what is other since. */
export function createEditionPart(
  tools: StandingsTools,
  reader: TableReader,
  ranges: Pick<RangesPart, 'rangesOfState'>,
): { readonly handlers: Pick<RequestHandlers, Names> } {
  const { database, clock, emit } = tools;
  return {
    handlers: {
      async makeEdition({ tableId, name, note }) {
        const createdAt = clock.now().toISOString();
        const { input, standings } = reader.stateOf(tableId);
        const placeRanges = await ranges.rangesOfState({ input, standings });
        const { fingerprint, bytes } = await packContent({ input, standings, placeRanges });
        const summary: EditionSummary = {
          id: randomUUID(),
          tableId,
          name,
          note,
          operator: tools.operator(),
          createdAt,
          definitionVersion: DEFINITION_VERSION,
          softwareVersion: tools.softwareVersion,
          fingerprint,
        };
        return retryWhenLocked(() => {
          insertEdition(database, summary, bytes);
          emit('standingsChanged', {});
          return summary;
        });
      },
      listEditions: ({ tableId }) => ({
        editions: listEditions(database, getStandingsTable(database, tableId).id),
      }),
      getEdition({ editionId }) {
        const edition = getEdition(database, editionId);
        const { summary, standings, placeRanges } = edition;
        return { summary, standings, placeRanges, sinceThen: sinceThen(database, edition) };
      },
      compareEditions({ fromEditionId, toEditionId }) {
        const from = getEdition(database, fromEditionId);
        const to = toEditionId === null ? null : getEdition(database, toEditionId);
        const { changes, sentences } = diffStandings(from, to ?? reader.stateOf(from.summary.tableId));
        return { changes, sentences: [...sentences, ...aboutThemselves(from, to)] };
      },
    },
  };
}

function aboutThemselves(from: Edition, to: Edition | null): string[] {
  const definition = to?.summary.definitionVersion ?? DEFINITION_VERSION;
  const sentences: string[] = [];
  if (to !== null && to.summary.fingerprint === from.summary.fingerprint) {
    sentences.push('Both editions have the same fingerprint: everything in them is the same.');
  }
  if (to !== null && to.summary.tableId !== from.summary.tableId) {
    sentences.push('The two editions are of different tables.');
  }
  if (measuresVersionOf(definition) !== measuresVersionOf(from.summary.definitionVersion)) {
    sentences.push(
      `Measures were taken by definition ${from.summary.definitionVersion} when the first was frozen, and are by definition ${definition} ${to === null ? 'now' : 'in the second'}.`,
    );
  }
  return sentences;
}
