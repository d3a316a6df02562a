import { fitSampleClock } from '../../signal/fit-sample-clock.ts';

/** What one field did since listening began. Values are without sign bit, except for the spreads. */
export interface FieldTrack {
  readonly first: number;
  /** Of the values that the next one did not fall short of: a garbled number alone does not count. */
  readonly greatest: number;
  /** The newest falls from a value that was not a leap itself: where a counter starts again. */
  readonly falls: readonly { readonly from: number; readonly to: number }[];
  /** Greatest minus least over the newest second, and over all before it. */
  readonly spreadNow: number | null;
  readonly spreadBefore: number | null;
  /** How far a second ever went beyond everything before it, in multiples of the spread before it. */
  readonly furthestBeyond: number;
}

export interface FieldTracker {
  /** One line: each field without and with its sign bit read as one; NaN where it was not readable. */
  push(arrivalUs: number, unsigned: readonly number[], signed: readonly number[]): void;
  field(index: number): FieldTrack;
  /** Lines a second over the newest five to ten seconds; null until that can be said. */
  lineRateHz(): number | null;
}

const NOW_US = 1_000_000;
const LEAST_BEFORE_US = 1_000_000;
const BUCKET_US = 100_000;
/** What the system had buffered before the port was opened comes at once. */
const SETTLING_US = 250_000;
const MARK_INTERVAL_US = 20_000;
const RATE_WINDOW_US = 5_000_000;
const LEAST_RATE_SPAN_US = 300_000;
const KEPT_FALLS = 32;
/** A step so many times the one before it is a leap. */
const LEAP = 4;
/** Below so many counts nothing is a push. */
const LEAST_SPREAD = 8;

interface Range {
  least: number;
  greatest: number;
}

interface Bucket extends Range {
  readonly startUs: number;
}

interface OpenTrack {
  first: number;
  greatest: number;
  previous: number;
  lastStep: number;
  isLeap: boolean;
  falls: { from: number; to: number }[];
  buckets: Bucket[];
  before: Range | null;
  beforeSinceUs: number;
  furthestBeyond: number;
}

/** Follows every field of lines that all have `fieldCount` of them. Its cost per line does not grow with the time. */
export function createFieldTracker(fieldCount: number): FieldTracker {
  const tracks = Array.from({ length: fieldCount }, newTrack);
  let marks: { slot: number; arrivalUs: number }[] = [];
  let firstUs: number | null = null;
  let lines = 0;

  return {
    push(arrivalUs, unsigned, signed) {
      firstUs ??= arrivalUs;
      lines += 1;
      for (const [index, track] of tracks.entries()) {
        const value = unsigned[index] ?? Number.NaN;
        if (Number.isNaN(value)) continue;
        advance(track, value);
        spread(track, arrivalUs, signed[index] ?? value);
      }
      const last = marks[marks.length - 1];
      if (arrivalUs - firstUs < SETTLING_US) return;
      if (last?.arrivalUs === arrivalUs) {
        // All lines of a chunk came at the same time: the last of them is the one that was timed.
        last.slot = lines;
        return;
      }
      if (last && arrivalUs - last.arrivalUs < MARK_INTERVAL_US) return;
      marks.push({ slot: lines, arrivalUs });
      if (marks.length > (2 * RATE_WINDOW_US) / MARK_INTERVAL_US) {
        marks = marks.filter((mark) => arrivalUs - mark.arrivalUs <= RATE_WINDOW_US);
      }
    },
    field(index) {
      const track = tracks[index] ?? newTrack();
      const now = joined(track.buckets);
      return {
        first: track.first,
        greatest: track.greatest,
        falls: track.falls,
        spreadNow: now && now.greatest - now.least,
        spreadBefore: track.before && track.before.greatest - track.before.least,
        furthestBeyond: track.furthestBeyond,
      };
    },
    lineRateHz() {
      const first = marks[0];
      const last = marks[marks.length - 1];
      if (!first || !last || last.arrivalUs - first.arrivalUs < LEAST_RATE_SPAN_US) return null;
      return fitSampleClock(marks)?.sampleRateHz ?? null;
    },
  };
}

function newTrack(): OpenTrack {
  return {
    first: Number.NaN,
    greatest: -Infinity,
    previous: Number.NaN,
    lastStep: 0,
    isLeap: false,
    falls: [],
    buckets: [],
    before: null,
    beforeSinceUs: 0,
    furthestBeyond: 0,
  };
}

function advance(track: OpenTrack, value: number): void {
  const { previous } = track;
  const step = value - previous;
  if (Number.isNaN(previous)) track.first = value;
  else if (step >= 0) {
    track.greatest = Math.max(track.greatest, previous);
    track.isLeap = track.lastStep > 0 && step > LEAP * track.lastStep;
    if (!track.isLeap) track.lastStep = step;
  } else if (!track.isLeap) {
    track.falls.push({ from: previous, to: value });
    if (track.falls.length > 2 * KEPT_FALLS) track.falls.splice(0, KEPT_FALLS);
  } else track.isLeap = false;
  track.previous = value;
}

function spread(track: OpenTrack, arrivalUs: number, value: number): void {
  const newest = track.buckets[track.buckets.length - 1];
  if (newest && arrivalUs - newest.startUs < BUCKET_US) {
    newest.least = Math.min(newest.least, value);
    newest.greatest = Math.max(newest.greatest, value);
    return;
  }
  noteBeyond(track, arrivalUs);
  track.buckets.push({ startUs: arrivalUs, least: value, greatest: value });
  let oldest = track.buckets[0];
  while (oldest && arrivalUs - oldest.startUs >= NOW_US) {
    if (!track.before) track.beforeSinceUs = oldest.startUs;
    track.before = joined(track.before ? [track.before, oldest] : [oldest]);
    track.buckets.shift();
    oldest = track.buckets[0];
  }
}

function noteBeyond(track: OpenTrack, arrivalUs: number): void {
  const { before } = track;
  const now = joined(track.buckets);
  if (!before || !now || arrivalUs - NOW_US - track.beforeSinceUs < LEAST_BEFORE_US) return;
  const beyond = Math.max(0, now.greatest - before.greatest, before.least - now.least);
  const ratio = beyond / Math.max(LEAST_SPREAD, before.greatest - before.least);
  track.furthestBeyond = Math.max(track.furthestBeyond, ratio);
}

function joined(ranges: readonly Range[]): Range | null {
  if (ranges.length === 0) return null;
  return {
    least: Math.min(...ranges.map(({ least }) => least)),
    greatest: Math.max(...ranges.map(({ greatest }) => greatest)),
  };
}
