import type { AmplifierProfile } from '../amplifier/amplifier-profile.ts';
import type { DecodedLine } from '../amplifier/decode-amplifier-line.ts';

export type ClockSource = 'sequence' | 'deviceTime' | 'arrival';

/** Where a sample belongs: so many slots after the one before it, in a new segment, or nowhere (a repeated line). */
export type Placement =
  | { readonly kind: 'next'; readonly slots: number }
  | { readonly kind: 'segment' }
  | { readonly kind: 'repeated' };

export interface SampleClock {
  readonly source: ClockSource;
  place(line: DecodedLine, arrivalUs: number): Placement;
}

/** After so long without a line nothing is known about what was lost, and filling the slots would cost memory. */
const LONGEST_KNOWN_GAP_US = 30_000_000;
/** A host that stalls reads late, never early: a sample may seem this far ahead of the host's clock, not further. */
const HOST_SLACK_S = 0.5;
const ANCHOR_INTERVAL_US = 1_000_000;

const NEXT: Placement = { kind: 'next', slots: 1 };
const SEGMENT: Placement = { kind: 'segment' };
const REPEATED: Placement = { kind: 'repeated' };

export function clockSourceOf(profile: AmplifierProfile): ClockSource {
  if (profile.sequence) return 'sequence';
  return profile.deviceTimeUs ? 'deviceTime' : 'arrival';
}

/**
 * Places samples on slots. With a sequence number the slot is the unwrapped number; with device time the unwrapped time
 * over the sample period; with neither every line takes the next slot, and a loss cannot be seen.
 *
 * A gap shorter than one modulus is bridged. A new segment starts where the gap may be as long as a modulus (judged by the
 * host's monotonic clock), longer than 30 s, or where the number jumps further than the host's clock allows: a device
 * that was reset. `arrivalUs` is the host's monotonic time in us.
 */
export function createSampleClock(profile: AmplifierProfile): SampleClock {
  const source = clockSourceOf(profile);
  if (source === 'arrival') return createArrivalClock();
  return source === 'sequence'
    ? createCounterClock(profile, source, profile.sequence?.modulus ?? 1, 1)
    : createCounterClock(profile, source, profile.deviceTimeUs?.modulus ?? 1, 1e6 / profile.nominalRateHz);
}

function createArrivalClock(): SampleClock {
  let hasStarted = false;
  return {
    source: 'arrival',
    place() {
      if (hasStarted) return NEXT;
      hasStarted = true;
      return SEGMENT;
    },
  };
}

/** `unitsPerSlot`: how far the counter moves from one sample to the next: 1, or the sample period in us. */
function createCounterClock(
  profile: AmplifierProfile,
  source: ClockSource,
  modulus: number,
  nominalUnitsPerSlot: number,
): SampleClock {
  const isTime = source === 'deviceTime';
  let unitsPerSlot = nominalUnitsPerSlot;
  let last = -1;
  let lastArrivalUs = 0;
  let slot = 0;
  let anchorSlot = 0;
  let anchorUs = 0;
  let rateHz = profile.nominalRateHz;

  const restart = (counter: number, arrivalUs: number): Placement => {
    last = counter;
    lastArrivalUs = arrivalUs;
    slot = 0;
    anchorSlot = 0;
    anchorUs = arrivalUs;
    unitsPerSlot = nominalUnitsPerSlot;
    rateHz = profile.nominalRateHz;
    return SEGMENT;
  };

  return {
    source,
    place(line, arrivalUs) {
      const counter = isTime ? line.timeUs : line.sequence;
      if (last < 0) return restart(counter, arrivalUs);

      const silenceUs = arrivalUs - lastArrivalUs;
      const isLongerThanModulus = (silenceUs / 1e6) * rateHz >= modulus / unitsPerSlot;
      if (isLongerThanModulus || silenceUs >= LONGEST_KNOWN_GAP_US) return restart(counter, arrivalUs);
      const units = counter >= last ? counter - last : counter - last + modulus;
      const slots = isTime ? Math.round(units / unitsPerSlot) : units;
      if (slots === 0) return REPEATED;

      if (slots > 1) {
        const allowed = ((arrivalUs - anchorUs) / 1e6 + HOST_SLACK_S) * rateHz * 1.05 + 2;
        if (slot + slots - anchorSlot > allowed) return restart(counter, arrivalUs);
      } else if (isTime) {
        // The device's own period, followed slowly, so that a rate off nominal does not turn long gaps into wrong slots.
        unitsPerSlot += (units - unitsPerSlot) / 256;
      }

      last = counter;
      lastArrivalUs = arrivalUs;
      slot += slots;
      const sinceAnchorUs = arrivalUs - anchorUs;
      if (sinceAnchorUs >= ANCHOR_INTERVAL_US) {
        // The anchor keeps the time at which the slot was due: after a stall of the host, lines that waited arrive late,
        // and the gap behind them must still be believed.
        const dueUs = anchorUs + ((slot - anchorSlot) * 1e6) / rateHz;
        // A wrongly entered nominal rate must not make every gap look like a reset.
        rateHz = Math.max(profile.nominalRateHz, ((slot - anchorSlot) * 1e6) / sinceAnchorUs);
        anchorSlot = slot;
        anchorUs = Math.max(arrivalUs - LONGEST_KNOWN_GAP_US, Math.min(arrivalUs, dueUs));
      }
      return slots === 1 ? NEXT : { kind: 'next', slots };
    },
  };
}
