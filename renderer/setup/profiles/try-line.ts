import type { AmplifierProfile } from '../../../shared-lib/amplifier/amplifier-profile.ts';
import { createLineDecoder } from '../../../shared-lib/amplifier/decode-amplifier-line.ts';
import { formatNumber, THIN_SPACE } from '../../../shared-lib/format-quantity.ts';

export type TriedLine =
  | { readonly kind: 'read'; readonly rows: readonly { readonly name: string; readonly value: string }[] }
  | { readonly kind: 'refused'; readonly sentence: string };

/** What a profile makes of one line. The profile must be one that `checkProfile` finds no errors in. */
export function tryLine(profile: AmplifierProfile, line: string): TriedLine {
  const into = { counts: 0, sequence: 0, timeUs: 0, flags: 0 };
  const problem = createLineDecoder(profile)(line, into);
  switch (problem) {
    case 'badLine':
      return {
        kind: 'refused',
        sentence: 'This profile cannot read it: its fields or its numbers have another form.',
      };
    case 'badChecksum':
      return { kind: 'refused', sentence: 'Its checksum does not fit what stands before it.' };
    case 'beyondRails':
      return {
        kind: 'refused',
        sentence: `Its counts, ${formatNumber(into.counts, 0)}, lie beyond what a converter of ${profile.converterBits} bits can give.`,
      };
    case null:
      return {
        kind: 'read',
        rows: [
          { name: 'Counts', value: formatNumber(into.counts, 0) },
          ...(profile.sequence === null
            ? []
            : [{ name: 'Sequence number', value: formatNumber(into.sequence, 0) }]),
          ...(profile.deviceTimeUs === null
            ? []
            : [{ name: 'Device time', value: `${formatNumber(into.timeUs, 0)}${THIN_SPACE}µs` }]),
          ...(profile.statusFlags === null
            ? []
            : [{ name: 'Status flags', value: flagWords(profile.statusFlags.bits, into.flags) }]),
        ],
      };
  }
}

function flagWords(bits: NonNullable<AmplifierProfile['statusFlags']>['bits'], flags: number): string {
  const set = bits.filter(({ bit }) => Math.floor(flags / 2 ** bit) % 2 === 1);
  return set.length === 0 ? 'none of those named is set' : set.map(({ meaning }) => meaning).join(', ');
}
