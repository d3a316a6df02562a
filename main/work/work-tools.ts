/** What a piece of work has besides its input. */
export interface WorkTools {
  /** 0 to 1, and what is being done, for a person. Cheap: at most some ten a second are passed on. */
  progress(fraction: number, sentence: string): void;
  /**
   * Lets the thread hear of a cancellation. To be awaited between pieces of at most some tenths of a second.
   *
   * Errors: AppError 'cancelled'.
   */
  pause(): Promise<void>;
}

export type Work<Input, Result> = (input: Input, tools: WorkTools) => Promise<Result>;
