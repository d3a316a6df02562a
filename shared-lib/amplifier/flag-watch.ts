import type { AmplifierProfile } from './amplifier-profile.ts';

export interface RaisedFlag {
  /** Where the bit became set first. */
  readonly slot: number;
  /** Samples with the bit set, of all that were seen since the last take. */
  readonly count: number;
  readonly detail: string;
}

export interface FlagWatch {
  /** The status flags of the sample in this slot; NaN where its line has none. */
  see(flags: number, slot: number): void;
  /** The bits that became set since the last call. */
  takeRaised(): readonly RaisedFlag[];
  /** The meanings of the bits that were set in the last line. */
  standing(): readonly string[];
}

const NONE: readonly never[] = [];

/** Watches the status bits that are faults, and tells those that became set and those that are. */
export function createFlagWatch(statusFlags: AmplifierProfile['statusFlags']): FlagWatch {
  const watched = (statusFlags?.bits ?? [])
    .filter(({ isFault }) => isFault)
    .map(({ bit, meaning }) => ({
      mask: 2 ** bit,
      meaning,
      isSet: false,
      samplesSet: 0,
      raisedSlot: null as number | null,
    }));
  if (watched.length === 0) {
    return { see: () => undefined, takeRaised: () => NONE, standing: () => NONE };
  }

  return {
    see(flags, slot) {
      for (const flag of watched) {
        // Bit 31 would be the sign of a bitwise and.
        const isSet = Math.floor(flags / flag.mask) % 2 === 1;
        if (isSet) flag.samplesSet += 1;
        if (isSet && !flag.isSet) flag.raisedSlot ??= slot;
        flag.isSet = isSet;
      }
    },
    takeRaised() {
      const raised: RaisedFlag[] = [];
      for (const flag of watched) {
        if (flag.raisedSlot !== null) {
          raised.push({ slot: flag.raisedSlot, count: flag.samplesSet, detail: flag.meaning });
        }
        flag.raisedSlot = null;
        flag.samplesSet = 0;
      }
      return raised;
    },
    standing: () => watched.filter(({ isSet }) => isSet).map(({ meaning }) => meaning),
  };
}
