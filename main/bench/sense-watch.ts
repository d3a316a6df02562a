import { AppError } from '../../shared-lib/app-error.ts';
import {
  createLiveOnsetDetector,
  type LiveOnsetDetector,
} from '../../shared-lib/trial/live-onset-detector.ts';
import type { LiveSamples } from '../acquisition/acquisition-service.ts';

const SENSE_TIMEOUT_US = 15_000_000;

export interface SenseWatch {
  /** Resolves with 1 when the clockwise push read positive, -1 when it read negative. */
  start(input: { levelNm: number; nominalRateHz: number; nowUs: number }): Promise<1 | -1>;
  isWatching(): boolean;
  /** Nobody pushes any more: the watch ends with 'cancelled'. Nothing where none is under way. */
  giveUp(): void;
  receive(samples: LiveSamples): void;
  amplifierLost(): void;
  tick(nowUs: number): void;
}

/** Watches for one guided clockwise push and tells which way the reading went. */
export function createSenseWatch(): SenseWatch {
  let watching: {
    readonly detector: LiveOnsetDetector;
    readonly deadlineUs: number;
    segment: number | null;
    resolve(sign: 1 | -1): void;
    reject(error: AppError): void;
  } | null = null;

  const fail = (code: 'no-onset' | 'connection-lost' | 'cancelled', message: string): void => {
    watching?.reject(new AppError(code, message));
    watching = null;
  };

  const amplifierLost = (): void => {
    fail('connection-lost', 'The amplifier was lost during the push. Nothing was changed; try again.');
  };

  return {
    isWatching: () => watching !== null,
    amplifierLost,

    giveUp() {
      fail('cancelled', 'The push was given up. The sense stays as it was.');
    },

    start({ levelNm, nominalRateHz, nowUs }) {
      if (watching) {
        throw new AppError(
          'invalid-state',
          'The program is already waiting for the push; push clockwise now.',
        );
      }
      const detector = createLiveOnsetDetector({ levelNm, nominalRateHz, directionSign: 1 });
      return new Promise((resolve, reject) => {
        watching = {
          detector,
          deadlineUs: nowUs + SENSE_TIMEOUT_US,
          segment: null,
          resolve,
          reject,
        };
      });
    },
    receive({ block, torqueNm }) {
      if (!watching || !torqueNm) return;
      watching.segment ??= block.segment;
      if (watching.segment !== block.segment) {
        amplifierLost();
        return;
      }
      const found = watching.detector.push(block.firstSlot, torqueNm);
      if (!found) return;
      watching.resolve('wrongDirection' in found ? -1 : 1);
      watching = null;
    },
    tick(nowUs) {
      if (!watching || nowUs < watching.deadlineUs) return;
      fail(
        'no-onset',
        'No push was seen within 15 s. Nothing was changed; push harder, clockwise seen from behind the tool.',
      );
    },
  };
}
