import type { AmplifierProfile } from '../amplifier-profile.ts';
import { xorChecksum } from '../format-amplifier-line.ts';
import { findNumeralForm } from './read-numeral.ts';

/** What lines have in common: the same separator, the same number of fields, and a checksum or none. */
export interface LineForm {
  readonly separator: AmplifierProfile['separator'];
  readonly checksum: AmplifierProfile['checksum'];
  readonly fieldCount: number;
}

export interface FoundForm {
  /** Null where too few lines share one. */
  readonly form: LineForm | null;
  /** Lines end like `*hh`, but hh is not the exclusive or. */
  readonly isChecksumUnknown: boolean;
}

const separators = [',', ';', '\t', ' '] as const;
const LEAST_LINES = 8;
/** So many of the lines must be of one form at least: the rest may be headers, messages or garbage. */
const LEAST_SHARE = 0.4;
const VERIFIED_SHARE = 0.8;
const MOST_FIELDS = 32;

const checkedLine = /^\$([^$]*)\*([0-9A-Fa-f]{2})$/;

/** The form that most lines share. Takes lines without their endings. */
export function findLineForm(lines: readonly string[]): FoundForm {
  if (lines.length < LEAST_LINES) return { form: null, isChecksumUnknown: false };
  const { checksum, isChecksumUnknown } = findChecksum(lines);
  const bodies = lines.map((line) => bodyOf(line, checksum)).filter((body) => body !== null);
  let best: { form: LineForm; score: number } | null = null;
  for (const separator of separators) {
    const rows = bodies.map((body) => splitFields(body, separator));
    const fieldCount = mostFrequent(rows.map((row) => row.length));
    if (fieldCount > MOST_FIELDS) continue;
    const matching = rows.filter((row) => row.length === fieldCount);
    const share = matching.length / lines.length;
    if (share < LEAST_SHARE) continue;
    const score = share * fieldScore(matching, fieldCount);
    if (score > (best?.score ?? 0)) best = { form: { separator, checksum, fieldCount }, score };
  }
  return { form: best?.form ?? null, isChecksumUnknown };
}

/** The texts of the fields, or null where the line is not of this form. */
export function fieldsOf(line: string, form: LineForm): string[] | null {
  const body = bodyOf(line, form.checksum);
  if (body === null) return null;
  const fields = splitFields(body, form.separator);
  return fields.length === form.fieldCount ? fields : null;
}

/** Numbers speak for a separator; fields that are none speak against one that splits where nothing is to be split. */
function fieldScore(rows: readonly string[][], fieldCount: number): number {
  let score = 0;
  for (let field = 0; field < fieldCount; field += 1) {
    const { kind } = findNumeralForm(rows.map((row) => row[field] ?? ''));
    score += kind === 'text' ? -0.01 : 1;
  }
  return score;
}

function findChecksum(lines: readonly string[]): {
  checksum: AmplifierProfile['checksum'];
  isChecksumUnknown: boolean;
} {
  let formed = 0;
  let verified = 0;
  for (const line of lines) {
    if (!checkedLine.test(trimBlanks(line))) continue;
    formed += 1;
    if (bodyOf(line, 'xor') !== null) verified += 1;
  }
  const isFormed = formed >= LEAST_SHARE * lines.length;
  const isVerified = verified >= VERIFIED_SHARE * formed;
  return { checksum: isFormed && isVerified ? 'xor' : 'none', isChecksumUnknown: isFormed && !isVerified };
}

function bodyOf(line: string, checksum: AmplifierProfile['checksum']): string | null {
  if (checksum === 'none') return line;
  const match = checkedLine.exec(trimBlanks(line));
  const [, body = '', stated = ''] = match ?? [];
  return match && xorChecksum(body) === stated.toUpperCase() ? body : null;
}

/** As the decoder splits: a run of spaces is one separator, a leading tab is an empty field. */
function splitFields(body: string, separator: string): string[] {
  if (separator === ' ') return trimBlanks(body).split(/ +/);
  const line = separator === '\t' ? body.replace(/^[^\S\t]+|\s+$/g, '') : trimBlanks(body);
  return line.split(separator).map((text) => text.trim());
}

function trimBlanks(line: string): string {
  let start = 0;
  let end = line.length;
  while (end > 0 && line.charCodeAt(end - 1) <= 0x20) end -= 1;
  while (start < end && line.charCodeAt(start) <= 0x20) start += 1;
  return line.slice(start, end);
}

function mostFrequent(numbers: readonly number[]): number {
  const occurrences = new Map<number, number>();
  for (const number of numbers) occurrences.set(number, (occurrences.get(number) ?? 0) + 1);
  let best = 1;
  for (const [number, count] of occurrences) if (count > (occurrences.get(best) ?? 0)) best = number;
  return best;
}
