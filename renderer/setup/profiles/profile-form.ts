import type { AmplifierProfile } from '../../../shared-lib/amplifier/amplifier-profile.ts';
import type { QuantityReading } from '../../ui/QuantityField.tsx';
import { quantityReader } from '../../ui/read-quantity.ts';
import { wholeNumberReader } from '../../ui/read-whole-number.ts';
import { readBaudRate, readConverterBits, readNominalRate } from '../amplifier-form.ts';
import { readEscapedText, writeEscapedText } from './escaped-text.ts';

type Numeral = 'decimal' | 'hex';

/** A counter in the line as typed; what was typed stays while it is switched off. */
export interface CounterForm {
  readonly isPresent: boolean;
  /** From 1, as people count. */
  readonly field: string;
  readonly modulus: string;
  readonly numeral: Numeral;
}

export interface FlagBitForm {
  readonly bit: string;
  readonly meaning: string;
  readonly isFault: boolean;
}

/** What stands in the fields of the editor, as typed. */
export interface ProfileForm {
  readonly id: string;
  readonly name: string;
  readonly baudRate: string;
  readonly dataBits: AmplifierProfile['dataBits'];
  readonly stopBits: AmplifierProfile['stopBits'];
  readonly parity: AmplifierProfile['parity'];
  readonly lineEnding: AmplifierProfile['lineEnding'];
  readonly separator: AmplifierProfile['separator'];
  readonly countsField: string;
  readonly numeral: Numeral;
  readonly hexBits: string;
  readonly sequence: CounterForm;
  readonly deviceTimeUs: CounterForm;
  readonly statusFlags: {
    readonly isPresent: boolean;
    readonly field: string;
    readonly numeral: Numeral;
    readonly bits: readonly FlagBitForm[];
  };
  readonly checksum: AmplifierProfile['checksum'];
  readonly nominalRate: string;
  readonly converterBits: string;
  readonly bandwidth: string;
  readonly texts: Readonly<Record<keyof AmplifierProfile['textsToSend'], string>>;
  /** A line of the amplifier, pasted to try the profile on; kept as its example where it can be read. */
  readonly triedLine: string;
}

export const readFieldNumber = wholeNumberReader(1, 32, null);
export const readModulus = wholeNumberReader(16, 2 ** 48, null);
export const readHexBits = wholeNumberReader(8, 32, 'bits');
export const readFlagBit = wholeNumberReader(0, 31, null);
export const readBandwidth = quantityReader({
  kind: 'sampleRate',
  unit: 'SaPerS',
  min: 0,
  max: 1e6,
  isMinExcluded: true,
});

export function profileFormFrom(profile: AmplifierProfile): ProfileForm {
  const { sequence, deviceTimeUs, statusFlags, countsForm, textsToSend } = profile;
  // Where a meaning is switched on, the first field that is free is the likeliest.
  const used = [profile.countsField, sequence?.field, deviceTimeUs?.field, statusFlags?.field];
  const free = Array.from({ length: 5 }, (_, field) => field).filter((field) => !used.includes(field));
  const counter = (stored: AmplifierProfile['sequence']): CounterForm => ({
    isPresent: stored !== null,
    field: shownField(stored?.field ?? free[0] ?? 0),
    modulus: writeModulus(stored?.modulus ?? 2 ** 32),
    numeral: stored?.numeral ?? 'decimal',
  });
  return {
    id: profile.id,
    name: profile.name,
    baudRate: String(profile.baudRate),
    dataBits: profile.dataBits,
    stopBits: profile.stopBits,
    parity: profile.parity,
    lineEnding: profile.lineEnding,
    separator: profile.separator,
    countsField: shownField(profile.countsField),
    numeral: countsForm.numeral,
    hexBits: String(countsForm.numeral === 'hex' ? countsForm.bits : profile.converterBits),
    sequence: counter(sequence),
    deviceTimeUs: counter(deviceTimeUs),
    statusFlags: {
      isPresent: statusFlags !== null,
      field: shownField(statusFlags?.field ?? free[0] ?? 0),
      numeral: statusFlags?.numeral ?? 'hex',
      bits: (statusFlags?.bits ?? []).map(({ bit, ...rest }) => ({ bit: String(bit), ...rest })),
    },
    checksum: profile.checksum,
    nominalRate: String(profile.nominalRateHz),
    converterBits: String(profile.converterBits),
    bandwidth: profile.antiAliasBandwidthHz === null ? '' : String(profile.antiAliasBandwidthHz),
    texts: {
      onOpen: writeEscapedText(textsToSend.onOpen ?? ''),
      start: writeEscapedText(textsToSend.start ?? ''),
      stop: writeEscapedText(textsToSend.stop ?? ''),
      zero: writeEscapedText(textsToSend.zero ?? ''),
    },
    triedLine: profile.example,
  };
}

/** What keeps a form from being a profile, each naming its field. */
export type ProfileFormReading =
  { readonly profile: AmplifierProfile } | { readonly problems: readonly string[] };

/** The profile without its example, which only a whole profile can tell. */
export function readProfileForm(form: ProfileForm): ProfileFormReading {
  const problems: string[] = [];
  const take = (label: string, typed: string, read: (typed: string) => QuantityReading): number => {
    const reading = read(typed);
    if ('value' in reading) return reading.value;
    problems.push(`${label}: ${typed.trim() === '' ? 'this is needed.' : reading.problem}`);
    return NaN;
  };
  const takeField = (label: string, typed: string) => take(label, typed, readFieldNumber) - 1;
  const takeCounter = (name: string, { isPresent, field, modulus, numeral }: CounterForm) =>
    isPresent
      ? {
          field: takeField(`Field of ${name}`, field),
          modulus: take(`Modulus of ${name}`, modulus, readModulus),
          numeral,
        }
      : null;
  const takeText = (label: string, typed: string): string | null => {
    const reading = readEscapedText(typed);
    if ('text' in reading) return reading.text === '' ? null : reading.text;
    problems.push(`${label}: ${reading.problem}`);
    return null;
  };
  const { statusFlags, texts } = form;

  if (form.name.trim() === '') problems.push('Name: this is needed.');
  const profile: AmplifierProfile = {
    id: form.id,
    name: form.name.trim(),
    example: '',
    baudRate: take('Baud rate', form.baudRate, readBaudRate),
    dataBits: form.dataBits,
    stopBits: form.stopBits,
    parity: form.parity,
    lineEnding: form.lineEnding,
    separator: form.separator,
    countsField: takeField('Field of the counts', form.countsField),
    countsForm:
      form.numeral === 'decimal'
        ? { numeral: 'decimal' }
        : { numeral: 'hex', bits: take('Bits of the counts', form.hexBits, readHexBits) },
    sequence: takeCounter('the sequence number', form.sequence),
    deviceTimeUs: takeCounter('the device time', form.deviceTimeUs),
    statusFlags: statusFlags.isPresent
      ? {
          field: takeField('Field of the status flags', statusFlags.field),
          numeral: statusFlags.numeral,
          bits: statusFlags.bits.map(({ bit, meaning, isFault }, index) => {
            if (meaning.trim() === '') problems.push(`Meaning of status bit ${index + 1}: this is needed.`);
            return {
              bit: take(`Number of status bit ${index + 1}`, bit, readFlagBit),
              meaning: meaning.trim(),
              isFault,
            };
          }),
        }
      : null,
    checksum: form.checksum,
    nominalRateHz: take('Nominal rate', form.nominalRate, readNominalRate),
    converterBits: take('Converter bits', form.converterBits, readConverterBits),
    antiAliasBandwidthHz:
      form.bandwidth.trim() === '' ? null : take('Bandwidth', form.bandwidth, readBandwidth),
    textsToSend: {
      onOpen: takeText('When the port opens', texts.onOpen),
      start: takeText('To start', texts.start),
      stop: takeText('To stop', texts.stop),
      zero: takeText('When the zero is set', texts.zero),
    },
  };
  return problems.length === 0 ? { profile } : { problems };
}

/** A power of two as people know it ("2^32"), anything else in digits. */
export function writeModulus(modulus: number): string {
  const exponent = Math.log2(modulus);
  return Number.isInteger(exponent) ? `2^${exponent}` : String(modulus);
}

function shownField(field: number): string {
  return String(field + 1);
}
