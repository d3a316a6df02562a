import { AppError } from '../../shared-lib/app-error.ts';
import { countLostSlots } from '../../shared-lib/signal/sample-block.ts';
import type { LiveSamples } from '../acquisition/acquisition-service.ts';

const PRE_TRIGGER_S = 0.5;
const RESPONSE_S = 2.5;
const TAP_TIMEOUT_US = 15_000_000;
/** For what is still to come after the tap. */
const RESPONSE_TIMEOUT_US = 6_000_000;
/** Ours. A tap leaves the rest before it by more than this share of the capacity, and by more than noise ever does. */
const TAP_SHARE_OF_CAPACITY = 0.002;
const TAP_NOISES = 8;
/** Ours: half a second that spreads more than this share of the capacity is not rest. */
const REST_SHARE_OF_CAPACITY = 0.0025;

export interface RingingRecord {
  /** From half a second before the tap to 2.5 s after it, none lost. */
  readonly counts: Int32Array;
  /** The slot of the tap, from the record's first one. */
  readonly tapSlot: number;
}

export interface RingingWatch {
  /** Resolves with the record about the first tap that follows half a second of rest. */
  start(input: {
    readonly sampleRateHz: number;
    readonly capacityNm: number;
    readonly nowUs: number;
  }): Promise<RingingRecord>;
  isWatching(): boolean;
  receive(samples: LiveSamples): void;
  amplifierLost(): void;
  tick(nowUs: number): void;
}

interface Watching {
  readonly sampleRateHz: number;
  readonly capacityNm: number;
  deadlineUs: number;
  segment: number | null;
  pieces: LiveSamples[];
  tapSlot: number | null;
  resolve(record: RingingRecord): void;
  reject(error: AppError): void;
}

/** Watches for one tap on the bar, or for a weight that is let go, and keeps what the rig answers. */
export function createRingingWatch(): RingingWatch {
  let watching: Watching | null = null;

  const fail = (code: 'no-onset' | 'connection-lost' | 'amplifier-silent', message: string): void => {
    watching?.reject(new AppError(code, message));
    watching = null;
  };

  const amplifierLost = (): void => {
    fail(
      'connection-lost',
      'The amplifier was lost before the rig had answered. Nothing was kept; connect it and tap again.',
    );
  };

  const finish = (watched: Watching, tapSlot: number): void => {
    const firstSlot = Math.max(
      tapSlot - Math.round(PRE_TRIGGER_S * watched.sampleRateHz),
      watched.pieces[0]?.block.firstSlot ?? 0,
    );
    const endSlot = tapSlot + Math.round(RESPONSE_S * watched.sampleRateHz);
    const record = cutOut(watched.pieces, firstSlot, endSlot);
    if (record === null) {
      fail(
        'amplifier-silent',
        'Samples were lost while the rig answered, so nothing was kept. Tap once more; if it happens again, look at the connection in Setup.',
      );
      return;
    }
    watched.resolve({ counts: record, tapSlot: tapSlot - firstSlot });
    watching = null;
  };

  return {
    isWatching: () => watching !== null,
    amplifierLost,

    start({ sampleRateHz, capacityNm, nowUs }) {
      if (watching)
        throw new AppError('invalid-state', 'The program is already waiting for the tap; tap now.');
      return new Promise((resolve, reject) => {
        watching = {
          sampleRateHz,
          capacityNm,
          deadlineUs: nowUs + TAP_TIMEOUT_US,
          segment: null,
          pieces: [],
          tapSlot: null,
          resolve,
          reject,
        };
      });
    },

    receive(samples) {
      if (!watching || !samples.torqueNm) return;
      const { block, torqueNm } = samples;
      watching.segment ??= block.segment;
      if (watching.segment !== block.segment) {
        amplifierLost();
        return;
      }
      if (watching.tapSlot === null) {
        const tapIndex = findTap(watching, torqueNm);
        if (tapIndex !== null) {
          watching.tapSlot = block.firstSlot + tapIndex;
          watching.deadlineUs = block.arrivalUs + RESPONSE_TIMEOUT_US;
        } else {
          forgetOld(watching);
        }
      }
      watching.pieces.push(samples);
      const { tapSlot } = watching;
      if (tapSlot === null) return;
      const endSlot = block.firstSlot + block.counts.length;
      if (endSlot >= tapSlot + Math.round(RESPONSE_S * watching.sampleRateHz)) finish(watching, tapSlot);
    },

    tick(nowUs) {
      if (!watching || nowUs < watching.deadlineUs) return;
      if (watching.tapSlot !== null) {
        fail(
          'amplifier-silent',
          'The samples stopped while the rig answered, so nothing was kept. Look at the connection in Setup, then tap again.',
        );
        return;
      }
      fail(
        'no-onset',
        'No tap was seen within 15 s. Nothing was changed. Let the bar come to rest for a second, then strike it once, harder than before.',
      );
    },
  };
}

/** The index of the first sample of the new block that leaves the rest before it; null: none does, or there was no rest. */
function findTap({ pieces, sampleRateHz, capacityNm }: Watching, torqueNm: Float64Array): number | null {
  const rest = restOf(pieces, Math.round(PRE_TRIGGER_S * sampleRateHz));
  if (rest === null || rest.standardDeviationNm > REST_SHARE_OF_CAPACITY * capacityNm) return null;
  const levelNm = Math.max(TAP_SHARE_OF_CAPACITY * capacityNm, TAP_NOISES * rest.standardDeviationNm);
  const index = torqueNm.findIndex((value) => Math.abs(value - rest.meanNm) > levelNm);
  return index === -1 ? null : index;
}

/** Mean and spread of the newest slots; null where there are too few samples. */
function restOf(
  pieces: readonly LiveSamples[],
  slots: number,
): { readonly meanNm: number; readonly standardDeviationNm: number } | null {
  const newest: number[] = [];
  let seen = 0;
  for (const { torqueNm } of pieces.toReversed()) {
    if (seen >= slots || !torqueNm) break;
    for (const value of torqueNm.subarray(Math.max(0, torqueNm.length - (slots - seen)))) {
      if (!Number.isNaN(value)) newest.push(value);
    }
    seen += torqueNm.length;
  }
  if (seen < slots || newest.length < 0.9 * slots) return null;
  const meanNm = newest.reduce((sum, value) => sum + value, 0) / newest.length;
  const squares = newest.reduce((sum, value) => sum + (value - meanNm) ** 2, 0);
  return { meanNm, standardDeviationNm: Math.sqrt(squares / Math.max(1, newest.length - 1)) };
}

/** Keeps what a tap in the next block would need before it. */
function forgetOld(watched: Watching): void {
  const newest = watched.pieces.at(-1)?.block;
  if (!newest) return;
  const neededFrom = newest.firstSlot + newest.counts.length - 2 * PRE_TRIGGER_S * watched.sampleRateHz;
  watched.pieces = watched.pieces.filter(({ block }) => block.firstSlot + block.counts.length >= neededFrom);
}

/** The counts of these slots; null where one of them was lost. */
function cutOut(pieces: readonly LiveSamples[], firstSlot: number, endSlot: number): Int32Array | null {
  const counts = new Int32Array(endSlot - firstSlot);
  let present = 0;
  for (const { block } of pieces) {
    const from = Math.max(firstSlot, block.firstSlot);
    const to = Math.min(endSlot, block.firstSlot + block.counts.length);
    if (to <= from) continue;
    counts.set(block.counts.subarray(from - block.firstSlot, to - block.firstSlot), from - firstSlot);
    const lostHere = block.gaps.map(({ offset, length }) => {
      const gapFrom = Math.max(from, block.firstSlot + offset);
      const gapTo = Math.min(to, block.firstSlot + offset + length);
      return { offset: gapFrom, length: Math.max(0, gapTo - gapFrom) };
    });
    present += to - from - countLostSlots(lostHere);
  }
  return present === counts.length ? counts : null;
}
