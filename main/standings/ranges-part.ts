import { createHash } from 'node:crypto';
import { AppError } from '../../shared-lib/app-error.ts';
import { distributionFunctions } from '../../shared-lib/calibration/distribution-functions.ts';
import { createPlaceDraws } from '../../shared-lib/standings/place-draws.ts';
import type { PlaceRanges } from '../../shared-lib/standings/standings-model.ts';
import type { TableState } from './read-table.ts';
import type { StandingsTools } from './standings-tools.ts';

export interface RangesPart {
  /** Of a table as it is now. One that is under way for the same state is shared; a newer state takes its place. */
  rangesOf(tableId: string, state: TableState): Promise<PlaceRanges>;
  /** Of exactly this state, whatever is asked for meanwhile. */
  rangesOfState(state: TableState): Promise<PlaceRanges>;
  close(): void;
}

/** One seed, so that the same state has the same ranges. */
const SEED = 1;
const DRAW_COUNT = 10_000;
/** Samples, status and the stop cue wait as long as a slice takes. */
const MOST_SLICE_US = 15_000;
const DRAWS_AT_ONCE = 10;

interface Computation {
  readonly fingerprint: string;
  readonly ranges: Promise<PlaceRanges>;
  /** Whoever waits for it gets what comes of the other one. */
  giveWayTo(other: Promise<PlaceRanges>): void;
}

/** The draws behind the place ranges, in slices, with whatever else main has to do in between. */
export function createRangesPart({ clock }: Pick<StandingsTools, 'clock'>): RangesPart {
  const underWay = new Map<string, Computation>();
  const refusals = new Set<() => void>();
  let isClosed = false;

  const compute = ({ input, standings }: TableState): Omit<Computation, 'fingerprint'> => {
    const { promise, resolve, reject } = Promise.withResolvers<PlaceRanges>();
    let isWanted = true;
    const settle = (how: () => void): void => {
      isWanted = false;
      refusals.delete(refuse);
      how();
    };
    const refuse = (): void => {
      settle(() => {
        reject(closing());
      });
    };
    refusals.add(refuse);

    let draws: ReturnType<typeof createPlaceDraws> | null = null;
    const slice = (): void => {
      if (!isWanted) return;
      try {
        const startedUs = clock.monotonicUs();
        draws ??= createPlaceDraws(
          input,
          standings,
          { seed: SEED, drawCount: DRAW_COUNT },
          distributionFunctions,
        );
        const going = draws;
        let isDone = false;
        while (!isDone && clock.monotonicUs() - startedUs < MOST_SLICE_US) {
          isDone = going.advance(DRAWS_AT_ONCE);
        }
        if (isDone) {
          settle(() => {
            resolve(going.result());
          });
        } else setImmediate(slice);
      } catch (cause) {
        settle(() => {
          reject(cause instanceof Error ? cause : new Error(String(cause)));
        });
      }
    };
    if (isClosed) refuse();
    else setImmediate(slice);
    return {
      ranges: promise,
      giveWayTo(other) {
        if (!isWanted) return;
        settle(() => {
          resolve(other);
        });
      },
    };
  };

  return {
    rangesOf(tableId, state) {
      const fingerprint = createHash('sha256').update(JSON.stringify(state.input)).digest('hex');
      const before = underWay.get(tableId);
      if (before?.fingerprint === fingerprint) return before.ranges;
      const computation: Computation = { fingerprint, ...compute(state) };
      underWay.set(tableId, computation);
      before?.giveWayTo(computation.ranges);
      return computation.ranges.finally(() => {
        if (underWay.get(tableId) === computation) underWay.delete(tableId);
      });
    },
    rangesOfState: (state) => compute(state).ranges,
    close() {
      isClosed = true;
      for (const refuse of refusals) refuse();
    },
  };
}

function closing(): AppError {
  return new AppError(
    'shutting-down',
    'The program is closing, so the ranges of the places were not computed. Nothing was changed. Look at the standings again after the next start.',
  );
}
