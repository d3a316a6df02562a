import { AppError } from '../../shared-lib/app-error.ts';
import type { LiveSamples } from '../acquisition/acquisition-service.ts';

/** Ours: what an amplifier may take to set its zero and to be heard with it; samples from before may be under way. */
const SETTLE_S = 0.5;
const ZERO_RECORD_S = 1;
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
    readonly neededSlots: number;
    readonly deadlineUs: number;
    slots: number;
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
          neededSlots: Math.ceil((SETTLE_S + ZERO_RECORD_S) * nominalRateHz),
          deadlineUs: nowUs + TIMEOUT_US,
          slots: 0,
          segment: null,
          resolve,
          reject,
        };
      }),

    receive({ block }) {
      if (!watching) return;
      if (watching.segment !== block.segment) watching.slots = 0;
      watching.segment = block.segment;
      watching.slots += block.counts.length;
      if (watching.slots < watching.neededSlots) return;
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
