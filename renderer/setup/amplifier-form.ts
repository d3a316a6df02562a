import {
  type AmplifierProfile,
  amplifierSettingsSchema,
  type AmplifierSettings,
} from '../../shared-lib/amplifier/amplifier-profile.ts';
import type { SerialPortInfo } from '../../shared-lib/api-contract.ts';
import { quantityReader } from '../ui/read-quantity.ts';
import { wholeNumberReader } from '../ui/read-whole-number.ts';

/** What stands in the fields, as typed. */
export interface AmplifierForm {
  readonly path: string;
  readonly profileId: string;
  readonly baudRate: string;
  readonly nominalRate: string;
  readonly converterBits: string;
}

export const readNominalRate = quantityReader({
  kind: 'sampleRate',
  unit: 'SaPerS',
  min: 1,
  max: 1_000_000,
});

export const readBaudRate = wholeNumberReader(300, 20_000_000, 'Bd');
export const readConverterBits = wholeNumberReader(8, 32, 'bits');

/** The stored settings, or what the first ready-made profile suggests. */
export function amplifierFormFrom(
  settings: AmplifierSettings | null,
  profiles: readonly AmplifierProfile[],
): AmplifierForm | null {
  if (settings !== null) {
    return {
      path: settings.path,
      profileId: settings.profileId,
      baudRate: String(settings.baudRate),
      nominalRate: String(settings.nominalRateHz),
      converterBits: String(settings.converterBits),
    };
  }
  const first = profiles[0];
  return first === undefined ? null : { path: '', ...profileDefaults(first) };
}

/**
 * Another profile brings its own figures, except where somebody has entered others than the one before suggested:
 * whoever looks for the form of the lines has one amplifier, at one rate.
 */
export function withProfile(
  form: AmplifierForm,
  before: AmplifierProfile | undefined,
  profile: AmplifierProfile,
): AmplifierForm {
  const suggested = before === undefined ? null : profileDefaults(before);
  const wanted = profileDefaults(profile);
  const choose = (field: 'baudRate' | 'nominalRate' | 'converterBits'): string =>
    suggested !== null && form[field] !== suggested[field] ? form[field] : wanted[field];
  return {
    ...form,
    profileId: profile.id,
    baudRate: choose('baudRate'),
    nominalRate: choose('nominalRate'),
    converterBits: choose('converterBits'),
  };
}

/** Null while a field is empty or holds what cannot be taken. */
export function readAmplifierForm(form: AmplifierForm): AmplifierSettings | null {
  const [baudRate, nominalRateHz, converterBits] = [
    readBaudRate(form.baudRate),
    readNominalRate(form.nominalRate),
    readConverterBits(form.converterBits),
  ].map((reading) => ('value' in reading ? reading.value : null));
  const settings = amplifierSettingsSchema.safeParse({
    path: form.path.trim(),
    profileId: form.profileId,
    baudRate,
    nominalRateHz,
    converterBits,
  });
  return settings.success ? settings.data : null;
}

/** What a port says of itself; converters that say nothing are common. */
export function describePort(port: SerialPortInfo): string {
  const ids = [port.vendorId, port.productId].filter((id) => id !== null);
  const parts = [
    port.manufacturer,
    port.serialNumber === null ? null : `serial number ${port.serialNumber}`,
    ids.length === 0 ? null : `USB ${ids.join(':')}`,
  ].filter((part) => part !== null);
  return parts.length === 0 ? 'says nothing of itself' : parts.join(', ');
}

function profileDefaults(profile: AmplifierProfile): Omit<AmplifierForm, 'path'> {
  return {
    profileId: profile.id,
    baudRate: String(profile.baudRate),
    nominalRate: String(profile.nominalRateHz),
    converterBits: String(profile.converterBits),
  };
}
