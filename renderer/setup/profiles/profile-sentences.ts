import type { AmplifierProfile } from '../../../shared-lib/amplifier/amplifier-profile.ts';
import { formatNumber, formatRate, THIN_SPACE } from '../../../shared-lib/format-quantity.ts';
import { writeModulus } from './profile-form.ts';

const separatorWords: Readonly<Record<AmplifierProfile['separator'], string>> = {
  ',': 'commas',
  ';': 'semicolons',
  ' ': 'spaces',
  '\t': 'tabs',
};
const parityLetters = { none: 'N', even: 'E', odd: 'O' } as const;

/** "8N1": data bits, parity, stop bits, as they stand in manuals. */
export function frameWords({ dataBits, parity, stopBits }: AmplifierProfile): string {
  return `${dataBits}${parityLetters[parity]}${stopBits}`;
}

/** How a profile reads its lines, in a line of its own. */
export function describeProfile(profile: AmplifierProfile): string {
  const { sequence, deviceTimeUs, statusFlags, countsForm, checksum } = profile;
  const counts = countsForm.numeral === 'hex' ? `counts (hexadecimal, ${countsForm.bits} bits)` : 'counts';
  const meanings = [
    { field: profile.countsField, what: counts },
    ...(sequence === null
      ? []
      : [{ field: sequence.field, what: `sequence number${moduloWords(sequence)}` }]),
    ...(deviceTimeUs === null
      ? []
      : [{ field: deviceTimeUs.field, what: `device time${moduloWords(deviceTimeUs)}` }]),
    ...(statusFlags === null ? [] : [{ field: statusFlags.field, what: 'status flags' }]),
  ].toSorted((one, other) => one.field - other.field);
  const isAlone = meanings.length === 1 && profile.countsField === 0;
  const fields = isAlone
    ? counts
    : `${meanings.map(({ field, what }) => `field ${field + 1} ${what}`).join(', ')}, between ${separatorWords[profile.separator]}`;
  const sentence = `${fields}${checksum === 'xor' ? ', with checksum' : ''}`;
  return sentence.charAt(0).toUpperCase() + sentence.slice(1);
}

/** In it alone two proposals may differ. */
function moduloWords({ modulus }: NonNullable<AmplifierProfile['sequence']>): string {
  return ` (modulo ${writeModulus(modulus)})`;
}

export function describePort(profile: AmplifierProfile): string {
  return `${formatNumber(profile.baudRate, 0)}${THIN_SPACE}Bd, ${frameWords(profile)}, ${formatRate(profile.nominalRateHz)}`;
}
