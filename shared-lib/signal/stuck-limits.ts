/** A count that came again and again for so long, and in so many samples, is taken for stuck. */
export const STUCK_S = 1;
export const STUCK_SAMPLES = 50;
/** Counts at rest that lie no farther apart are still: a reading between two counts flickers. */
export const STILL_COUNTS = 1;
