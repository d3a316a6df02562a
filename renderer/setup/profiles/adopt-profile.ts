import type { AmplifierProfile, AmplifierSettings } from '../../../shared-lib/amplifier/amplifier-profile.ts';

/** A profile that reads the same lines over the same port frame; what the settings of an amplifier carry may differ. */
export function findSameForm(
  profile: AmplifierProfile,
  known: readonly AmplifierProfile[],
): AmplifierProfile | null {
  return known.find((candidate) => formOf(candidate) === formOf(profile)) ?? null;
}

/** The name, with a number behind it where it is taken; two profiles of one name could not be told apart in a list. */
export function freeName(name: string, taken: readonly string[]): string {
  const used = new Set(taken.map((other) => other.trim().toLowerCase()));
  for (let number = 1; ; number += 1) {
    const numbered = number === 1 ? name : `${name} (${number})`;
    if (!used.has(numbered.trim().toLowerCase())) return numbered;
  }
}

export function settingsFor(
  path: string,
  profile: AmplifierProfile,
  { id }: Pick<AmplifierProfile, 'id'>,
): AmplifierSettings {
  const { baudRate, nominalRateHz, converterBits } = profile;
  return { path, profileId: id, baudRate, nominalRateHz, converterBits };
}

function formOf(profile: AmplifierProfile): string {
  const { dataBits, stopBits, parity, lineEnding, separator, checksum } = profile;
  const { countsField, countsForm, sequence, deviceTimeUs, statusFlags, textsToSend } = profile;
  const counter = (field: AmplifierProfile['sequence']) =>
    field && [field.field, field.modulus, field.numeral];
  return JSON.stringify([
    [dataBits, stopBits, parity, lineEnding === '\r', separator, checksum],
    [countsField, countsForm.numeral, countsForm.numeral === 'hex' ? countsForm.bits : null],
    [counter(sequence), counter(deviceTimeUs)],
    statusFlags && [
      statusFlags.field,
      statusFlags.numeral,
      statusFlags.bits.map(({ bit, meaning, isFault }) => [bit, meaning, isFault]),
    ],
    [textsToSend.onOpen, textsToSend.start, textsToSend.stop, textsToSend.zero, profile.antiAliasBandwidthHz],
  ]);
}
