import type { Figure } from '../measured-figures.ts';

/** What the measuring process and the processes that it measures say to each other. */
export type WriterCommand =
  | { readonly type: 'load'; readonly torqueNm: number; readonly durationS: number }
  | { readonly type: 'count' };

export type WriterReport =
  | { readonly type: 'port'; readonly path: string }
  | {
      readonly type: 'written';
      readonly written: number;
      /** Lines that found the port's buffer full. */
      readonly dropped: number;
      /** Lines that never were, because the writer itself woke late. */
      readonly movedOn: number;
    };

export interface BareReaderCommand {
  readonly type: 'count';
}

export type BareReaderReport =
  | { readonly type: 'open' }
  /** `sequence`: that of the newest whole line; NaN where none has been looked for. */
  | { readonly type: 'counted'; readonly lines: number; readonly sequence: number };

export type ProgramCommand =
  | { readonly type: 'arm' }
  /** The main thread does nothing else for so long. */
  | { readonly type: 'stall'; readonly durationMs: number }
  | { readonly type: 'count' };

export type ProgramReport =
  | { readonly type: 'ready' }
  | { readonly type: 'push'; readonly torqueNm: number; readonly durationS: number }
  | { readonly type: 'phase'; readonly phase: string }
  | {
      readonly type: 'counted';
      readonly samples: number;
      /** Processor time of the stalls so far, which is not the program's. */
      readonly stallCpuUs: number;
    }
  | {
      readonly type: 'recorded';
      readonly state: string;
      /** Those of lost samples among them. */
      readonly slots: number;
      readonly lostSlots: number;
    };

/** Of a process that takes figures of its own work. */
export interface FiguresReport {
  readonly type: 'figures';
  readonly figures: Readonly<Record<string, Figure>>;
}
