import type { Figure } from '../measured-figures.ts';

/** How one run of the measurements is made. */
export interface PerfRun {
  readonly say: (line: string) => void;
  /** `short`: fewer and shorter rounds, for a look on the way; the figures of the design are those of the full form. */
  readonly form: 'full' | 'short';
}

/** One subject that is measured a part at a time, so that its parts lie as far from each other as the run is long. */
export interface PassingMeasurement {
  /** Takes its part of the rounds. */
  pass(): Promise<void>;
  /** Of all rounds so far. */
  figures(): Record<string, Figure>;
  /** Leaves nothing behind. */
  end(): void | Promise<void>;
}

/** Makes what is to be measured; nothing is measured yet. */
export type PrepareMeasurement = (run: PerfRun) => Promise<PassingMeasurement>;
