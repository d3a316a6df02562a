import type { standingsRequests } from '../../shared-lib/standings/standings-requests.ts';
import type { RequestHandlers } from '../services.ts';
import { createCellPart } from './cell-part.ts';
import { createEditionPart } from './edition-part.ts';
import { createRangesPart } from './ranges-part.ts';
import { createSlices } from './slices.ts';
import { createTableReader } from './read-table.ts';
import { createSchemePart } from './scheme-part.ts';
import type { StandingsTools } from './standings-tools.ts';
import { createTablePart } from './table-part.ts';

/** All that ranks tools, as one part of the program. */
export function createStandingsParts(tools: StandingsTools): {
  readonly handlers: Pick<RequestHandlers, keyof typeof standingsRequests>;
  /** Ends what is being computed; whoever waits for it is refused. */
  close(): void;
} {
  const reader = createTableReader(tools);
  const slices = createSlices(tools);
  const ranges = createRangesPart(slices);
  return {
    handlers: {
      ...createSchemePart(tools, reader).handlers,
      ...createTablePart(tools, reader, { slices, ranges }).handlers,
      ...createCellPart(tools, reader).handlers,
      ...createEditionPart(tools, reader, ranges).handlers,
    },
    close() {
      slices.close();
    },
  };
}
