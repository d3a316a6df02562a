/**
 * Work of more than some milliseconds, which gives the turn back after each of its pieces, so that others need not wait for all
 * of it. Nothing begins before the first piece is asked for.
 */
export type WorkInPieces<Result> = Generator<undefined, Result, undefined>;

/** For where nobody waits. */
export function doAtOnce<Result>(work: WorkInPieces<Result>): Result {
  let piece = work.next();
  while (piece.done !== true) piece = work.next();
  return piece.value;
}
