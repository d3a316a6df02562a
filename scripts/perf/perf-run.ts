/** How one run of the measurements is made. */
export interface PerfRun {
  readonly say: (line: string) => void;
  /** `short`: fewer and shorter rounds, for a look on the way; the figures of the design are those of the full form. */
  readonly form: 'full' | 'short';
}
