import { readyMadeProfiles, type AmplifierProfile } from '../amplifier-profile.ts';
import { checkProfile } from '../check-profile.ts';
import { createLineDecoder, delimiterOf, type DecodedLine } from '../decode-amplifier-line.ts';
import type { ProfileProposal } from '../listening-model.ts';
import type { CountsCandidate } from './choose-counts-field.ts';
import { fieldName, toDigits, type FieldFinding } from './describe-field.ts';
import { estimateNominalRate } from './estimate-nominal-rate.ts';
import { fieldsOf, type LineForm } from './find-line-form.ts';
import { hexBits } from './read-numeral.ts';
import { percent } from './score-text.ts';
import type { HeardEnding, HeardLine } from './split-heard-lines.ts';

export interface ProposalGrounds {
  readonly baudRate: number;
  /** The newest lines, those of no form among them. */
  readonly lines: readonly HeardLine[];
  readonly form: LineForm;
  readonly findings: readonly FieldFinding[];
  /** The likeliest first. */
  readonly countsCandidates: readonly CountsCandidate[];
  /** Lines of the form a second. */
  readonly lineRateHz: number;
}

type Counter = NonNullable<AmplifierProfile['sequence']>;

interface Draft {
  readonly profile: AmplifierProfile;
  readonly reasons: readonly string[];
}

const MOST_PROPOSALS = 5;
const LEAST_READABLE_SHARE = 0.3;
const USUAL_BITS = 24;
const LARGE_MODULUS = 2 ** 32;
const separatorNames = { ',': 'commas', ';': 'semicolons', '\t': 'tabs', ' ': 'spaces' } as const;

/** Whole profiles that read the lines, the best first. Their share of readable lines is measured with the decoder itself. */
export function proposeProfiles(grounds: ProposalGrounds): ProfileProposal[] {
  const drafts = grounds.countsCandidates.flatMap((candidate) => draftsFor(grounds, candidate));
  const proposals: ProfileProposal[] = [];
  /** Why a better one could not work, for those that come after it. */
  const refusals: string[] = [];
  for (const { profile, reasons } of drafts) {
    if (proposals.some((proposal) => readsTheSame(proposal.profile, profile))) continue;
    const errors = checkProfile(profile).filter(({ severity }) => severity === 'error');
    if (errors.length > 0) {
      if (proposals.length === 0) refusals.push(...errors.map(({ sentence }) => sentence));
      continue;
    }
    const share = readableShare(profile, grounds.lines);
    if (share < LEAST_READABLE_SHARE) continue;
    proposals.push({
      profile,
      reasons: [...reasons, ...new Set(refusals), shareSentence(share, grounds)],
      readableShare: share,
    });
  }
  return withReadyMadeFirst(proposals, grounds).slice(0, MOST_PROPOSALS);
}

function shareSentence(share: number, { lines }: ProposalGrounds): string {
  return `It reads ${percent(share)} of the newest ${lines.length} lines.`;
}

/**
 * A ready-made profile with the same fields goes before an own one. Where the counter was not seen to start again, its
 * modulus is as good a guess as the usual ones; it is then further from its end, which would be the worse error.
 */
function withReadyMadeFirst(
  proposals: readonly ProfileProposal[],
  grounds: ProposalGrounds,
): ProfileProposal[] {
  const [best] = proposals;
  const ready = best && readyMadeProfiles.find((profile) => hasSameFields(profile, best.profile));
  if (!ready) return [...proposals];
  const isContradicted = grounds.findings.some(({ kind, field, modulus }) => {
    const counter = kind === 'sequence' ? ready.sequence : kind === 'deviceTime' ? ready.deviceTimeUs : null;
    return modulus?.isSeen === true && counter?.field === field && counter.modulus !== modulus.modulus;
  });
  const { baudRate, lineEnding, nominalRateHz, converterBits } = best.profile;
  const profile: AmplifierProfile = { ...ready, baudRate, lineEnding, nominalRateHz, converterBits };
  const share = readableShare(profile, grounds.lines);
  if (isContradicted || share < best.readableShare) return [...proposals];
  const same = proposals.find((proposal) => readsTheSame(proposal.profile, profile)) ?? best;
  return [
    {
      profile,
      reasons: [`The ready-made profile "${ready.name}" has this form.`, ...same.reasons],
      readableShare: share,
    },
    ...proposals.filter((proposal) => !readsTheSame(proposal.profile, profile)),
  ];
}

/** All that is known, then the same with what is only assumed left out or taken another way. */
function draftsFor(grounds: ProposalGrounds, candidate: CountsCandidate): Draft[] {
  const { findings } = grounds;
  const sequence = findings.find(({ kind }) => kind === 'sequence');
  const time = findings.find(({ kind }) => kind === 'deviceTime');
  const drafts = [draft(grounds, candidate, sequence, time)];
  if (sequence?.modulus && !sequence.modulus.isSeen && sequence.modulus.modulus < LARGE_MODULUS) {
    const reason = `It was not seen to start again: modulo ${LARGE_MODULUS} is assumed.`;
    const larger = {
      ...sequence,
      modulus: { modulus: LARGE_MODULUS, reason, isSeen: false },
      reason: sequence.reason.replace(sequence.modulus.reason, reason),
    };
    drafts.push(draft(grounds, candidate, larger, time));
  }
  if (sequence && time) drafts.push(draft(grounds, candidate, sequence, undefined));
  if (sequence || time) drafts.push(draft(grounds, candidate, undefined, undefined));
  return drafts;
}

function draft(
  grounds: ProposalGrounds,
  candidate: CountsCandidate,
  sequence: FieldFinding | undefined,
  time: FieldFinding | undefined,
): Draft {
  const { form, lines, baudRate } = grounds;
  const counts = candidate.finding;
  const lineRateHz = grounds.lineRateHz * (sequence?.linesPerLine ?? 1);
  const rate = estimateNominalRate(lineRateHz);
  const bits = converterBitsOf(counts);
  const ending = findEnding(lines);
  const profile: AmplifierProfile = {
    id: 'proposal',
    name: 'proposal',
    example: exampleOf(lines, form),
    baudRate,
    dataBits: 8,
    stopBits: 1,
    parity: 'none',
    lineEnding: ending.ending,
    separator: form.separator,
    countsField: counts.field,
    countsForm:
      counts.form.kind === 'hex'
        ? { numeral: 'hex', bits: hexBits(counts.form.digits) }
        : { numeral: 'decimal' },
    sequence: counterOf(sequence),
    deviceTimeUs: counterOf(time),
    statusFlags: null,
    checksum: form.checksum,
    nominalRateHz: Math.max(1, rate.nominalRateHz),
    converterBits: bits.converterBits,
    antiAliasBandwidthHz: null,
    textsToSend: { onOpen: null, start: null, stop: null, zero: null },
  };
  const reasons = [
    form.fieldCount > 1
      ? `${form.fieldCount} fields, separated by ${separatorNames[form.separator]}.`
      : 'One number in each line.',
    ...(form.checksum === 'xor'
      ? ['The two digits after * are the exclusive or of what stands before it.']
      : []),
    candidate.reason,
    ...(sequence ? [`${fieldName(sequence.field)}: ${sequence.reason}`] : []),
    ...(time ? [`${fieldName(time.field)}: ${time.reason}`] : []),
    ...(sequence || time ? [] : ['No counter is used: lines that are lost on the way are not noticed.']),
    rate.isUsual
      ? `${toDigits(lineRateHz)} lines a second were measured: ${rate.nominalRateHz} is the usual rate next to it.`
      : `${toDigits(lineRateHz)} lines a second were measured, which is near no usual rate.`,
    bits.reason,
    ...ending.reasons,
  ];
  return { profile: { ...profile, name: `own: ${fieldNames(profile)}` }, reasons };
}

function counterOf(finding: FieldFinding | undefined): Counter | null {
  if (!finding?.modulus) return null;
  return {
    field: finding.field,
    modulus: finding.modulus.modulus,
    numeral: finding.form.kind === 'hex' ? 'hex' : 'decimal',
  };
}

function converterBitsOf({ form, likeness }: FieldFinding): { converterBits: number; reason: string } {
  if (form.kind === 'hex') {
    const converterBits = hexBits(form.digits);
    const width = form.isFixedWidth ? 'Each number has' : 'The longest number has';
    return {
      converterBits,
      reason: `${width} ${form.digits} hexadecimal digits: two’s complement of ${converterBits} bits is assumed.`,
    };
  }
  const limit = 2 ** (USUAL_BITS - 1);
  if (likeness.least < -limit || likeness.greatest >= limit) {
    return {
      converterBits: 32,
      reason: 'Some numbers need more than 24 bits: a range of 32 bits is assumed.',
    };
  }
  return {
    converterBits: USUAL_BITS,
    reason:
      'A converter of 24 bits is assumed, which the lines do not say; it decides where a number counts as saturated.',
  };
}

/** Line feeds end lines wherever there are any, also behind a carriage return. */
function findEnding(lines: readonly HeardLine[]): { ending: HeardEnding; reasons: string[] } {
  const count = (ending: HeardEnding): number => lines.filter((line) => line.ending === ending).length;
  const [feeds, both, returns] = [count('\n'), count('\r\n'), count('\r')];
  const ending = returns > feeds + both ? '\r' : both > feeds ? '\r\n' : '\n';
  const kinds = [feeds, both, returns].filter((occurrences) => occurrences > 0).length;
  return { ending, reasons: kinds > 1 ? ['Lines end in more than one way.'] : [] };
}

function exampleOf(lines: readonly HeardLine[], form: LineForm): string {
  for (let index = lines.length - 1; index >= 0; index -= 1) {
    const line = lines[index];
    if (line && !line.isCut && fieldsOf(line.text, form)) return line.text;
  }
  return '';
}

/** Share of the lines that the program would read, cut where it would cut them. */
function readableShare(profile: AmplifierProfile, lines: readonly HeardLine[]): number {
  const decode = createLineDecoder(profile);
  const decoded: DecodedLine = { counts: 0, sequence: 0, timeUs: 0, flags: 0 };
  const stream = lines.map(({ text, ending }) => text + ending).join('');
  const cut = stream.split(delimiterOf(profile)).filter((line) => line.trim() !== '');
  const readable = cut.filter((line) => decode(line, decoded) === null).length;
  return readable / Math.max(cut.length, lines.length);
}

function fieldNames(profile: AmplifierProfile): string {
  const names: [number, string][] = [[profile.countsField, 'counts']];
  if (profile.sequence) names.push([profile.sequence.field, 'sequence']);
  if (profile.deviceTimeUs) names.push([profile.deviceTimeUs.field, 'time']);
  const inOrder = names.sort(([one], [other]) => one - other).map(([, name]) => name);
  if (profile.checksum === 'xor') inOrder.push('checksum');
  return inOrder.join(', ');
}

/** The same fields in the same form; moduli may differ. */
function hasSameFields(one: AmplifierProfile, other: AmplifierProfile): boolean {
  const counter = (counterField: Counter | null): string =>
    counterField ? `${counterField.field} ${counterField.numeral}` : 'none';
  const describe = (profile: AmplifierProfile): string =>
    [
      profile.separator,
      profile.checksum,
      profile.countsField,
      JSON.stringify(profile.countsForm),
      counter(profile.sequence),
      counter(profile.deviceTimeUs),
      delimiterOf(profile),
    ].join('|');
  return describe(one) === describe(other);
}

function readsTheSame(one: AmplifierProfile, other: AmplifierProfile): boolean {
  return (
    hasSameFields(one, other) &&
    one.sequence?.modulus === other.sequence?.modulus &&
    one.deviceTimeUs?.modulus === other.deviceTimeUs?.modulus
  );
}
