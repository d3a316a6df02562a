import { AppError } from '../../shared-lib/app-error.ts';
import { presentCounts } from '../../shared-lib/signal/trim-block.ts';
import type { LiveSamples } from '../acquisition/acquisition-service.ts';

/** Ours: what an amplifier may take to set its zero and to be heard with it; samples from before may be under way. */
const SETTLE_S = 0.5;
const ZERO_RECORD_S = 1;
/** An amplifier may be quiet while it sets its zero and count on: what came before is no part of a whole second then (ours). */
const LONGEST_PAUSE_S = 0.1;
const TIMEOUT_US = 5_000_000;

export interface ZeroWatch {
  /** Resolves once a whole second of samples has come that was measured after the amplifier's own zero. */
  start(input: { nominalRateHz: number; nowUs: number }): Promise<void>;
  isWatching(): boolean;
  receive(samples: Pick<LiveSamples, 'block'>): void;
  amplifierLost(): void;
  tick(nowUs: number): void;
}

/** Waits for the samples of an amplifier that was told to set its zero. */
export function createZeroWatch(): ZeroWatch {
  let watching: {
    readonly neededSamples: number;
    readonly mostLost: number;
    readonly deadlineUs: number;
    samples: number;
    segment: number | null;
    resolve(): void;
    reject(error: AppError): void;
  } | null = null;

  const fail = (code: 'amplifier-silent' | 'connection-lost', message: string): void => {
    watching?.reject(new AppError(code, message));
    watching = null;
  };

  return {
    isWatching: () => watching !== null,

    start: ({ nominalRateHz, nowUs }) =>
      new Promise((resolve, reject) => {
        watching = {
          neededSamples: Math.ceil((SETTLE_S + ZERO_RECORD_S) * nominalRateHz),
          mostLost: LONGEST_PAUSE_S * nominalRateHz,
          deadlineUs: nowUs + TIMEOUT_US,
          samples: 0,
          segment: null,
          resolve,
          reject,
        };
      }),

    receive({ block }) {
      if (!watching) return;
      const longestGap = Math.max(0, ...block.gaps.map(({ length }) => length));
      if (watching.segment !== block.segment || longestGap > watching.mostLost) watching.samples = 0;
      watching.segment = block.segment;
      watching.samples += presentCounts(block).length;
      if (watching.samples < watching.neededSamples) return;
      watching.resolve();
      watching = null;
    },

    amplifierLost() {
      fail(
        'connection-lost',
        'The amplifier was lost while it set its zero, so there is no zero now. Set it again when the amplifier is back.',
      );
    },

    tick(nowUs) {
      if (!watching || nowUs < watching.deadlineUs) return;
      fail(
        'amplifier-silent',
        'The amplifier was told to set its zero, but no whole second of samples came within 5 s. There is no zero now; look at Setup, then set it again.',
      );
    },
  };
}
