import type { AmplifierProfile } from '../amplifier/amplifier-profile.ts';
import type { DecodedLine } from '../amplifier/decode-amplifier-line.ts';
import { createDevicePeriod, type DevicePeriod } from './device-period.ts';
import { createHostClockLimit } from './host-clock-limit.ts';

export type ClockSource = 'sequence' | 'deviceTime' | 'arrival';

/**
 * Where a sample belongs: so many slots after the one before it, in a new segment, or nowhere (a repeated line). `reason`
 * says why the segment could not go on; null for the first segment and one that was asked for.
 */
export type Placement =
  | { readonly kind: 'next'; readonly slots: number }
  | { readonly kind: 'segment'; readonly reason: string | null }
  | { readonly kind: 'repeated' };

export interface SampleClock {
  readonly source: ClockSource;
  place(line: DecodedLine, arrivalUs: number): Placement;
  /** The next line begins a new segment, because somebody knows that what lies between cannot be known. */
  breakSegment(): void;
}

/** After so long without a line nothing is known about what was lost, and filling the slots would cost memory. */
const LONGEST_KNOWN_GAP_US = 30_000_000;
/** Lines of a reader that stalled for less than this wait in buffers, as a rule. */
const LONGEST_UNNUMBERED_SILENCE_US = 1_000_000;
const LONGEST_UNNUMBERED_SILENCE_PERIODS = 50;

const NEXT: Placement = { kind: 'next', slots: 1 };
const REPEATED: Placement = { kind: 'repeated' };

/** Where a line has both a sequence number and a device time, the number decides and the time is not looked at. */
export function clockSourceOf(profile: AmplifierProfile): ClockSource {
  if (profile.sequence) return 'sequence';
  return profile.deviceTimeUs ? 'deviceTime' : 'arrival';
}

/**
 * Places samples on slots. With a sequence number the slot is the unwrapped number; with device time the unwrapped time
 * over the sender's own period (`device-period.ts`); with neither every line takes the next slot.
 *
 * A counter tells a gap only up to its modulus M, so the host's monotonic clock has to say which gaps are possible: at most
 * the time since the line before (and the time by which that line was read late, see `host-clock-limit.ts`) plus a slack
 * of half a second or half a modulus, whichever is shorter. "Allowed" below means by this limit.
 *
 * | what came                                        | sequence, device time             | arrival     |
 * | ------------------------------------------------ | --------------------------------- | ----------- |
 * | next number; time one period on                  | next slot                         | next slot   |
 * | ahead by less than M, allowed                    | a gap: lost slots stay empty      | not seen    |
 * | ahead by more than allowed: a clock that jumps   | new segment                       | not seen    |
 * | a step back: ahead by nearly M, not allowed      | new segment: the device was reset | not seen    |
 * | the same number or time again                    | repeated, takes no slot           | next slot   |
 * | ahead, and by one M more would be allowed too    | new segment: M may be lost unseen | not seen    |
 * | no line for 30 s                                 | new segment                       | new segment |
 * | no line for max(1 s, 50 periods)                 | as the counter says               | new segment |
 * | a shorter stall of the reader, then lines at once | as the counter says              | joined      |
 * | another rate                                     | sequence: next slots              | next slots  |
 *
 * Arrival: lines that wait in buffers while the reader stalls catch up and are joined; what overflows them is lost unseen.
 *
 * Small moduli: where a host stalls for longer than half of M (M less half a second, where M lasts more than a second), a
 * whole M may be lost without a trace, and the segment ends although perhaps nothing was. Where M lasts hardly longer
 * than the pause between two reads, every read begins a segment; the check of profiles refuses M of less than a second.
 * A step back into the allowed part of M cannot be told from a gap: with M of one second, a reset to a number less than
 * half a second ahead is taken for one.
 *
 * Device time at another rate: from 2/3 of nominal to twice nominal it is learned from the first lines of a segment, and
 * changes up to some 8 % are followed without a gap. A sender that slows down by more leaves slots empty: they count as
 * losses, times stay right by the device's clock. One that speeds up by more cannot be placed: a new segment with the new
 * period begins as soon as a line is a whole slot ahead of its time; no sample is lost.
 *
 * Sequence numbers say nothing of time: a sender that changes its rate keeps its slots without gap or break, and one rate
 * fitted over both is wrong for each.
 *
 * Shape: counters lie in [0, M). Units: `arrivalUs` is the host's monotonic time in us and must not step back.
 */
export function createSampleClock(profile: AmplifierProfile): SampleClock {
  const { sequence, deviceTimeUs, nominalRateHz } = profile;
  if (sequence) return createCounterClock('sequence', nominalRateHz, sequence.modulus);
  if (deviceTimeUs) return createCounterClock('deviceTime', nominalRateHz, deviceTimeUs.modulus);
  return createArrivalClock(nominalRateHz);
}

function createArrivalClock(nominalRateHz: number): SampleClock {
  const longestSilenceUs = Math.max(
    LONGEST_UNNUMBERED_SILENCE_US,
    (LONGEST_UNNUMBERED_SILENCE_PERIODS * 1e6) / nominalRateHz,
  );
  let lastUs: number | null = null;
  return {
    source: 'arrival',
    place(_line, arrivalUs) {
      const silenceUs = lastUs === null ? null : arrivalUs - lastUs;
      lastUs = arrivalUs;
      if (silenceUs === null) return { kind: 'segment', reason: null };
      return silenceUs < longestSilenceUs ? NEXT : { kind: 'segment', reason: noLineFor(silenceUs) };
    },
    breakSegment() {
      lastUs = null;
    },
  };
}

function createCounterClock(
  source: 'sequence' | 'deviceTime',
  nominalRateHz: number,
  modulus: number,
): SampleClock {
  const name = source === 'sequence' ? 'sequence number' : 'device time';
  const nominalPeriodUs = 1e6 / nominalRateHz;
  const host = createHostClockLimit(nominalRateHz);
  const period: DevicePeriod | null = source === 'deviceTime' ? createDevicePeriod() : null;
  let last: number | null = null;
  let placedUs = 0;
  let heardUs = 0;

  /** A line is heard when it comes, so `heardUs` is the arrival of this one. */
  const begin = (counter: number, reason: string | null, periodUs = nominalPeriodUs): Placement => {
    last = counter;
    placedUs = heardUs;
    host.restart();
    period?.restart(periodUs);
    return { kind: 'segment', reason };
  };

  return {
    source,
    place(line, arrivalUs) {
      const counter = source === 'sequence' ? line.sequence : line.timeUs;
      const sinceHeardUs = arrivalUs - heardUs;
      const sinceUs = arrivalUs - placedUs;
      heardUs = arrivalUs;
      if (last === null) return begin(counter, null);
      if (sinceHeardUs >= LONGEST_KNOWN_GAP_US) return begin(counter, noLineFor(sinceHeardUs));

      const modulusSlots = period ? modulus / period.periodUs() : modulus;
      const units = counter >= last ? counter - last : counter - last + modulus;
      if (units === 0) {
        // Lines may have been repeated for long; only the time since the newest of them can hide a whole modulus.
        const isOneModulusAllowed = host.mostSlots(sinceHeardUs, modulusSlots) >= modulusSlots;
        return isOneModulusAllowed ? begin(counter, mayHavePassed(name, modulus)) : REPEATED;
      }
      const slots = period ? period.slotsIn(units) : units;
      const mostSlots = host.mostSlots(sinceUs, modulusSlots);
      if (slots + modulusSlots <= mostSlots) return begin(counter, mayHavePassed(name, modulus));
      if (slots > 1 && slots > mostSlots)
        return begin(counter, `the ${name} went from ${last} to ${counter}`);
      if (period?.isOutrunBy(units)) {
        return begin(counter, `the amplifier sends faster than before, every ${units} us`, units);
      }

      period?.follow(units, slots);
      host.placed(slots, sinceUs);
      last = counter;
      placedUs = arrivalUs;
      return slots === 1 ? NEXT : { kind: 'next', slots };
    },
    breakSegment() {
      last = null;
    },
  };
}

const noLineFor = (silenceUs: number): string => `no line came for ${(silenceUs / 1e6).toFixed(2)} s`;

const mayHavePassed = (name: string, modulus: number): string =>
  `lines stayed away so long that the ${name} may have passed its modulus of ${modulus} unseen`;
