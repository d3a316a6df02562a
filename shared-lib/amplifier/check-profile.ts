import { clockSourceOf } from '../signal/sample-clock.ts';
import { amplifierProfileSchema, readyMadeProfiles, type AmplifierProfile } from './amplifier-profile.ts';
import { createLineDecoder } from './decode-amplifier-line.ts';
import { flagDigits, hexDigitsBelow } from './format-amplifier-line.ts';

export type ProfileFindingCode =
  | 'setting-invalid'
  | 'field-out-of-range'
  | 'fields-overlap'
  | 'name-empty'
  | 'name-ready-made'
  | 'sequence-modulus-small'
  | 'time-modulus-small'
  | 'time-too-coarse'
  | 'hex-narrower-than-converter'
  | 'hex-wider-than-converter'
  | 'flag-bit-twice'
  | 'port-too-slow'
  | 'port-nearly-full'
  | 'text-without-line-end'
  | 'example-unreadable';

export interface ProfileFinding {
  /** With an error the profile cannot work, and is not kept. */
  readonly severity: 'error' | 'caution';
  readonly code: ProfileFindingCode;
  /** What is wrong and what to do. */
  readonly sentence: string;
}

/** A computer may stall for half a second; what was lost then can be counted only if the counter lasts twice as long. */
const SHORTEST_CYCLE_S = 1;
/** Even at the lowest rates one lost sample must show: its neighbours lie two periods apart. */
const SHORTEST_CYCLE_PERIODS = 3;
/** A time in whole microseconds errs by up to 1 us between two samples; that must stay below half a period. */
const FINEST_PERIOD_US = 2;

/**
 * Everything that keeps a profile from reading its amplifier, or is likely to, all at once. Pure; never throws, so that
 * it can be asked while the profile is still being typed. Ready-made profiles have no finding.
 */
export function checkProfile(profile: AmplifierProfile): ProfileFinding[] {
  const findings = [
    ...checkName(profile),
    ...checkSettings(profile),
    ...checkFields(profile),
    ...checkCounters(profile),
    ...checkHexBits(profile),
    ...checkFlags(profile),
    ...checkPort(profile),
    ...checkTexts(profile),
  ];
  // An example says nothing new about a profile that cannot work anyhow.
  return findings.some(({ severity }) => severity === 'error')
    ? findings
    : [...findings, ...checkExample(profile)];
}

const error = (code: ProfileFindingCode, sentence: string): ProfileFinding => ({
  severity: 'error',
  code,
  sentence,
});
const caution = (code: ProfileFindingCode, sentence: string): ProfileFinding => ({
  severity: 'caution',
  code,
  sentence,
});

function checkName({ id, name }: AmplifierProfile): ProfileFinding[] {
  const plain = name.trim().toLowerCase();
  if (plain === '') return [error('name-empty', 'The profile has no name. Give it one, to find it again.')];
  if (!readyMadeProfiles.some((ready) => ready.name === plain && ready.id !== id)) return [];
  return [
    error(
      'name-ready-made',
      `"${name.trim()}" is the name of a ready-made profile, and trials would not tell the two apart. Choose another name.`,
    ),
  ];
}

/** Fields and an empty name have sentences of their own. */
function checkSettings(profile: AmplifierProfile): ProfileFinding[] {
  const parsed = amplifierProfileSchema.safeParse(profile);
  if (parsed.success) return [];
  return parsed.error.issues
    .filter(({ path }) => !/field$/i.test(String(path.at(-1))))
    .filter(({ path }) => path[0] !== 'name' || profile.name.trim() !== '')
    .map(({ path, message }) =>
      error('setting-invalid', `The setting "${path.join('.')}" cannot be used: ${message}.`),
    );
}

interface Meaning {
  readonly what: string;
  readonly field: number;
}

function meaningsOf(profile: AmplifierProfile): Meaning[] {
  const { sequence, deviceTimeUs, statusFlags } = profile;
  return [
    { what: 'the counts', field: profile.countsField },
    ...(sequence ? [{ what: 'the sequence number', field: sequence.field }] : []),
    ...(deviceTimeUs ? [{ what: 'the device time', field: deviceTimeUs.field }] : []),
    ...(statusFlags ? [{ what: 'the status flags', field: statusFlags.field }] : []),
  ];
}

/** Fields are counted from 0 in a profile; a sentence says "1st", which nobody takes for the second. */
export function ordinalOfField(field: number): string {
  const place = field + 1;
  const isTeen = Math.floor(place / 10) % 10 === 1;
  const ending = isTeen ? 'th' : (['th', 'st', 'nd', 'rd'][place % 10] ?? 'th');
  return `${place}${ending}`;
}

function checkFields(profile: AmplifierProfile): ProfileFinding[] {
  const meanings = meaningsOf(profile);
  const findings: ProfileFinding[] = [];
  for (const { what, field } of meanings) {
    if (Number.isInteger(field) && field >= 0 && field <= 31) continue;
    findings.push(
      error('field-out-of-range', `The field of ${what} must lie between the 1st and the 32nd of a line.`),
    );
  }
  for (const field of new Set(meanings.map((meaning) => meaning.field))) {
    const sharing = meanings.filter((meaning) => meaning.field === field).map(({ what }) => what);
    if (sharing.length < 2) continue;
    const list = `${sharing.slice(0, -1).join(', ')} and ${sharing.at(-1)}`;
    findings.push(
      error(
        'fields-overlap',
        `The ${ordinalOfField(field)} field can hold only one number, but is to give ${list}. Give each its own field.`,
      ),
    );
  }
  return findings;
}

function checkCounters(profile: AmplifierProfile): ProfileFinding[] {
  const { sequence, deviceTimeUs, nominalRateHz } = profile;
  const findings: ProfileFinding[] = [];
  const leastSequence = Math.ceil(SHORTEST_CYCLE_S * nominalRateHz);
  if (sequence && sequence.modulus < leastSequence) {
    const cycle = Number((sequence.modulus / nominalRateHz).toPrecision(2));
    findings.push(
      error(
        'sequence-modulus-small',
        `At ${nominalRateHz} Sa/s the sequence number starts again every ${cycle} s. A computer that stalls for half a second could not tell how many samples were lost: the modulus must be at least ${leastSequence}, one second of samples. Let the amplifier count further, lower its rate, or leave the sequence number out.`,
      ),
    );
  }
  const leastTimeUs = Math.max(
    SHORTEST_CYCLE_S * 1e6,
    Math.ceil((SHORTEST_CYCLE_PERIODS * 1e6) / nominalRateHz),
  );
  if (deviceTimeUs && deviceTimeUs.modulus < leastTimeUs) {
    findings.push(
      error(
        'time-modulus-small',
        `The device time starts again every ${deviceTimeUs.modulus} us, too soon to tell how many samples were lost while the computer stalled: at ${nominalRateHz} Sa/s the modulus must be at least ${leastTimeUs} us. Let the amplifier count further, or leave the device time out.`,
      ),
    );
  }
  const fastestHz = 1e6 / FINEST_PERIOD_US;
  if (clockSourceOf(profile) === 'deviceTime' && nominalRateHz >= fastestHz) {
    findings.push(
      error(
        'time-too-coarse',
        `At ${nominalRateHz} Sa/s the samples are ${Number((1e6 / nominalRateHz).toPrecision(3))} us apart, and a device time in whole microseconds cannot place them: it serves below ${fastestHz} Sa/s. Lower the rate, or use a sequence number.`,
      ),
    );
  }
  return findings;
}

function checkHexBits({ countsForm, converterBits }: AmplifierProfile): ProfileFinding[] {
  if (countsForm.numeral === 'decimal') return [];
  const { bits } = countsForm;
  if (bits < converterBits) {
    return [
      error(
        'hex-narrower-than-converter',
        `Hexadecimal counts of ${bits} bits cannot hold a converter of ${converterBits} bits: large readings would turn their sign. Set the counts to at least ${converterBits} bits, or the converter to ${bits}.`,
      ),
    ];
  }
  if (bits > converterBits) {
    return [
      caution(
        'hex-wider-than-converter',
        `Hexadecimal counts of ${bits} bits are wider than the converter of ${converterBits} bits. That is right only if the amplifier fills the upper bits with the sign (-1 as ${'F'.repeat(hexDigitsBelow(2 ** bits))}); if a small negative load reads as a large positive one, set the counts to ${converterBits} bits.`,
      ),
    ];
  }
  return [];
}

function checkFlags({ statusFlags }: AmplifierProfile): ProfileFinding[] {
  const bits = statusFlags?.bits.map(({ bit }) => bit) ?? [];
  const repeated = new Set(bits.filter((bit, index) => bits.indexOf(bit) !== index));
  return [...repeated].map((bit) =>
    error('flag-bit-twice', `Bit ${bit} of the status flags has two meanings. Keep one of them.`),
  );
}

/** Characters of a line with its ending: with every number one digit long, and as an amplifier writes it most of the time. */
function lineLengths(profile: AmplifierProfile): { readonly shortest: number; readonly usual: number } {
  const { sequence, deviceTimeUs, statusFlags, countsForm, converterBits } = profile;
  const around = profile.lineEnding.length + (profile.checksum === 'xor' ? 4 : 0);
  const fieldCount = 1 + Math.max(...meaningsOf(profile).map(({ field }) => field));
  const decimalDigits = (end: number) => String(Math.ceil(end) - 1).length;
  const counterDigits = (counter: typeof sequence) => {
    if (!counter) return 0;
    return counter.numeral === 'hex' ? hexDigitsBelow(counter.modulus) : decimalDigits(counter.modulus);
  };
  // Readings lie well below the rails as a rule, and half of them have a sign.
  const countsDigits =
    countsForm.numeral === 'hex'
      ? hexDigitsBelow(2 ** countsForm.bits)
      : decimalDigits(2 ** (converterBits - 1) / 10) + 0.5;
  const flagsDigits = statusFlags ? (statusFlags.numeral === 'hex' ? flagDigits(statusFlags) : 1) : 0;
  const unnamed = fieldCount - meaningsOf(profile).length;
  const digits = countsDigits + counterDigits(sequence) + counterDigits(deviceTimeUs) + flagsDigits + unnamed;
  return {
    shortest: around + 2 * fieldCount - 1,
    usual: Math.max(around + 2 * fieldCount - 1, Math.round(around + fieldCount - 1 + digits)),
  };
}

/**
 * How many lines a second a port of this profile carries. A character is a start bit, the data bits, a parity bit where
 * there is one, and the stop bits.
 */
export function linesCarriedHz(profile: AmplifierProfile): {
  readonly shortest: number;
  readonly usual: number;
} {
  const bitsPerCharacter = 1 + profile.dataBits + (profile.parity === 'none' ? 0 : 1) + profile.stopBits;
  const charactersHz = profile.baudRate / bitsPerCharacter;
  const { shortest, usual } = lineLengths(profile);
  return { shortest: charactersHz / shortest, usual: charactersHz / usual };
}

/** Cautions only: many USB ports ignore the baud rate and carry whatever the amplifier sends. */
function checkPort(profile: AmplifierProfile): ProfileFinding[] {
  const { baudRate, nominalRateHz } = profile;
  const carried = linesCarriedHz(profile);
  const most = Math.floor(carried.shortest);
  const usual = Math.floor(carried.usual);
  const advice =
    'Raise the baud rate here and in the amplifier, lower its rate, or have it send shorter lines. If the port is one of those USB ports that ignore the baud rate, this does not matter.';
  if (nominalRateHz > carried.shortest) {
    return [
      caution(
        'port-too-slow',
        `At ${baudRate} baud the port carries at most ${most} lines a second of this form, about ${usual} of usual length; ${nominalRateHz} will not get through. ${advice}`,
      ),
    ];
  }
  if (nominalRateHz > carried.usual) {
    return [
      caution(
        'port-nearly-full',
        `At ${baudRate} baud the port carries about ${usual} lines a second of usual length, at most ${most} with very short numbers; ${nominalRateHz} may not get through. ${advice}`,
      ),
    ];
  }
  return [];
}

const textNames: Readonly<Record<keyof AmplifierProfile['textsToSend'], string>> = {
  onOpen: 'on opening',
  start: 'to start',
  stop: 'to stop',
  zero: 'to set the zero',
};

function checkTexts({ textsToSend }: AmplifierProfile): ProfileFinding[] {
  return (['onOpen', 'start', 'stop', 'zero'] as const).flatMap((when) => {
    const text = textsToSend[when];
    if (text === null || text === '' || /[\r\n]$/.test(text)) return [];
    return [
      caution(
        'text-without-line-end',
        `The text that is sent ${textNames[when]} has no line end, and most amplifiers wait for one before they obey. Add it, unless the manual says that a single character does.`,
      ),
    ];
  });
}

function checkExample(profile: AmplifierProfile): ProfileFinding[] {
  if (profile.example === '') return [];
  const into = { counts: 0, sequence: 0, timeUs: 0, flags: 0 };
  const problem = createLineDecoder(profile)(profile.example, into);
  if (problem === null) return [];
  const reason = {
    badLine: 'its fields or numbers have another form',
    badChecksum: 'its checksum is wrong',
    beyondRails: `its counts, ${into.counts}, lie beyond a converter of ${profile.converterBits} bits`,
  }[problem];
  return [
    caution(
      'example-unreadable',
      `The example line "${profile.example}" is not read by this profile: ${reason}. If it came from your amplifier, change the profile; else replace the example.`,
    ),
  ];
}
