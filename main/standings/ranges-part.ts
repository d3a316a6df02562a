import { createHash } from 'node:crypto';
import { distributionFunctions } from '../../shared-lib/calibration/distribution-functions.ts';
import { drawPlaceRanges } from '../../shared-lib/standings/place-draws.ts';
import type { PlaceRanges } from '../../shared-lib/standings/standings-model.ts';
import { USUAL_DRAWS } from '../../shared-lib/standings/usual-draws.ts';
import type { TableState } from './read-table.ts';
import type { Slices, UnderWay } from './slices.ts';

export interface RangesPart {
  /** Of a table as it is now. One that is under way for the same state is shared; a newer state takes its place. */
  rangesOf(tableId: string, state: TableState): Promise<PlaceRanges>;
  /** Of exactly this state, whatever is asked for meanwhile. */
  rangesOfState(state: TableState): Promise<PlaceRanges>;
}

interface Computation extends UnderWay<PlaceRanges> {
  readonly fingerprint: string;
}

/** The draws behind the place ranges. */
export function createRangesPart(slices: Pick<Slices, 'start'>): RangesPart {
  const underWay = new Map<string, Computation>();
  const compute = ({ input, standings }: TableState): UnderWay<PlaceRanges> =>
    slices.start(drawPlaceRanges(input, standings, USUAL_DRAWS, distributionFunctions));

  return {
    rangesOf(tableId, state) {
      const fingerprint = createHash('sha256').update(JSON.stringify(state.input)).digest('hex');
      const before = underWay.get(tableId);
      if (before?.fingerprint === fingerprint) return before.result;
      const computation: Computation = { fingerprint, ...compute(state) };
      underWay.set(tableId, computation);
      before?.giveWayTo(computation.result);
      return computation.result.finally(() => {
        if (underWay.get(tableId) === computation) underWay.delete(tableId);
      });
    },
    rangesOfState: (state) => compute(state).result,
  };
}
