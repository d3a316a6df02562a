import { AppError } from '../../shared-lib/app-error.ts';
import type { WorkInPieces } from '../../shared-lib/work-in-pieces.ts';
import type { StandingsTools } from './standings-tools.ts';

export interface UnderWay<Result> {
  /** Errors: AppError 'shutting-down', and those of the work. */
  readonly result: Promise<Result>;
  /** The work ends; whoever waits for it gets what comes of the other one. */
  giveWayTo(other: Promise<Result>): void;
}

/** Long work in slices, with whatever else main has to do in between. */
export interface Slices {
  start<Result>(work: WorkInPieces<Result>): UnderWay<Result>;
  /** Whoever waits for something is refused, and so is whoever comes after. */
  close(): void;
}

/** Samples, status and the stop cue wait as long as a slice takes. */
const MOST_SLICE_US = 15_000;

export function createSlices({ clock }: Pick<StandingsTools, 'clock'>): Slices {
  const refusals = new Set<() => void>();
  let isClosed = false;

  return {
    start<Result>(work: WorkInPieces<Result>): UnderWay<Result> {
      const { promise, resolve, reject } = Promise.withResolvers<Result>();
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

      const slice = (): void => {
        if (!isWanted) return;
        try {
          const startedUs = clock.monotonicUs();
          let piece = work.next();
          while (piece.done !== true && clock.monotonicUs() - startedUs < MOST_SLICE_US) piece = work.next();
          if (piece.done !== true) {
            setImmediate(slice);
            return;
          }
          const { value } = piece;
          settle(() => {
            resolve(value);
          });
        } catch (cause) {
          settle(() => {
            reject(cause instanceof Error ? cause : new Error(String(cause)));
          });
        }
      };
      if (isClosed) refuse();
      else setImmediate(slice);
      return {
        result: promise,
        giveWayTo(other) {
          if (!isWanted) return;
          settle(() => {
            resolve(other);
          });
        },
      };
    },
    close() {
      isClosed = true;
      for (const refuse of refusals) refuse();
    },
  };
}

function closing(): AppError {
  return new AppError(
    'shutting-down',
    'The program is closing, so what was being computed of the standings came to no end. Nothing was changed. Look at the standings again after the next start.',
  );
}
