import type { Connection } from '../../shared-lib/api-contract.ts';
import type { BenchStatus, LiveCurve } from '../../shared-lib/bench-status.ts';
import { CurveDataset } from './curve-dataset.ts';

/** What the big figure and the clock show; changes at most ten times a second, so that it can be read. */
export interface LiveReading {
  readonly quantity: LiveCurve['quantity'];
  /** In N·m or counts; null: no sample in the newest 100 ms. */
  readonly mean: number | null;
  readonly isOutsideCalibratedRange: boolean;
  readonly endSlot: number;
  readonly sampleRateHz: number;
}

const READING_INTERVAL_MS = 100;

/** Where the newest run lies on the slot axis of one generation of the curve. */
export interface RunPlace {
  readonly trialId: string;
  readonly onsetSlot: number;
  readonly generation: number | null;
  /** Where the recording was cut short; what came after it is not the run's. */
  readonly untilSlot: number | null;
}

/** Takes the live curve from the connection to those who draw it. React sees the throttled reading only. */
export class LiveFeed {
  readonly dataset = new CurveDataset();
  readonly #connection: Connection;
  readonly #pieceListeners = new Set<() => void>();
  readonly #readingListeners = new Set<() => void>();
  #newest: LiveReading | null = null;
  #shown: LiveReading | null = null;
  #timer: ReturnType<typeof setTimeout> | null = null;
  #run: RunPlace | null = null;

  constructor(connection: Connection) {
    this.#connection = connection;
  }

  /** Returns the function that stops it. */
  start(): () => void {
    const stops = [
      this.#connection.subscribe('liveCurve', (piece) => this.#take(piece)),
      this.#connection.subscribe('statusChanged', (status) => this.#followTrial(status)),
    ];
    return () => {
      for (const stop of stops) stop();
      if (this.#timer !== null) clearTimeout(this.#timer);
      this.#timer = null;
    };
  }

  /** Called with each piece; returns the function that ends the subscription. */
  onPiece(listener: () => void): () => void {
    this.#pieceListeners.add(listener);
    return () => this.#pieceListeners.delete(listener);
  }

  readonly subscribeToReading = (listener: () => void): (() => void) => {
    this.#readingListeners.add(listener);
    return () => this.#readingListeners.delete(listener);
  };

  readonly getReading = (): LiveReading | null => this.#shown;

  /** Where a trial lies on the live curve; null where the curve no longer holds it (a reload, another zero). */
  placeOf(trialId: string): RunPlace | null {
    const run = this.#run;
    if (run === null || run.trialId !== trialId || run.generation !== this.dataset.generation) return null;
    return run.onsetSlot >= this.dataset.startBin * this.dataset.samplesPerBin ? run : null;
  }

  #followTrial({ trial }: BenchStatus): void {
    if (trial.phase === 'run' || trial.phase === 'tail') {
      const { trialId, onsetSlot } = trial;
      this.#run = { trialId, onsetSlot, generation: this.dataset.generation, untilSlot: null };
    }
    if (trial.phase === 'interrupted' && trial.trialId === this.#run?.trialId) {
      this.#run = { ...this.#run, untilSlot: this.#run.untilSlot ?? this.dataset.endSlot };
    }
  }

  #take(piece: LiveCurve): void {
    this.dataset.append(piece);
    this.#newest = {
      quantity: piece.quantity,
      mean: piece.latestMean,
      isOutsideCalibratedRange: piece.isOutsideCalibratedRange,
      endSlot: this.dataset.endSlot,
      sampleRateHz: piece.sampleRateHz,
    };
    for (const listener of this.#pieceListeners) listener();
    if (this.#timer === null) this.#show();
  }

  #show(): void {
    this.#timer = setTimeout(() => {
      this.#timer = null;
      if (this.#shown !== this.#newest) this.#show();
    }, READING_INTERVAL_MS);
    this.#shown = this.#newest;
    for (const listener of this.#readingListeners) listener();
  }
}
