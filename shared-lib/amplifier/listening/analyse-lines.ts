import type { Listening } from '../listening-model.ts';
import { rankCountsFields, type CountsCandidate } from './choose-counts-field.ts';
import { describeField, fieldName, type FieldFinding } from './describe-field.ts';
import { fieldsOf, findLineForm, type LineForm } from './find-line-form.ts';
import { proposeProfiles } from './propose-profiles.ts';
import { asSigned, findNumeralForm, readNumeral, sameNumeralForm, type NumeralForm } from './read-numeral.ts';
import { showHeardLine, type HeardLine } from './split-heard-lines.ts';
import { createFieldTracker, type FieldTracker } from './track-fields.ts';

export type LineAnalysis = Pick<Listening, 'lineRateHz' | 'fields' | 'proposals' | 'problem'>;

export interface LineAnalyser {
  push(lines: readonly HeardLine[]): void;
  /** What the lines so far say, heard at this rate. Takes some milliseconds, so not to be asked for each line. */
  analyse(baudRate: number): LineAnalysis;
}

const KEPT_LINES = 2000;
const LINES_FOR_FORM = 400;
/** As long as so many of the newest lines have it, the form stays: a burst of garbage must not forget what was seen. */
const FORM_STAYS_SHARE = 0.5;
/** Before so many lines it is too early to say that they have nothing in common. */
const LINES_TO_JUDGE = 20;
const LONGEST_SHOWN_FIELD = 120;
const SLOWEST_HZ = 1;

interface Known {
  readonly form: LineForm;
  readonly numerals: readonly NumeralForm[];
  readonly tracker: FieldTracker;
}

interface KeptLine {
  readonly line: HeardLine;
  /** Its fields, where it has the known form. */
  row: string[] | null;
}

/**
 * Finds out what lines mean while they come: their form, what each field seems to be, and profiles that read them. Pure but
 * for what it remembers of the lines; time comes in with them.
 */
export function createLineAnalyser(): LineAnalyser {
  let kept: KeptLine[] = [];
  let known: Known | null = null;
  let isChecksumUnknown = false;

  const track = ({ numerals, tracker }: Known, { line, row }: KeptLine): void => {
    if (!row) return;
    const unsigned = numerals.map((numeral, field) => readNumeral(row[field] ?? '', numeral));
    const signed = unsigned.map((value, field) => asSigned(value, numerals[field] ?? { kind: 'text' }));
    tracker.push(line.arrivalUs, unsigned, signed);
  };

  const rowOf = (line: HeardLine, form: LineForm | undefined): string[] | null =>
    form && !line.isCut ? fieldsOf(line.text, form) : null;

  /** Starts anew where the lines have another form than before; what was seen is seen again in the lines that are kept. */
  const findForm = (): Known | null => {
    const newest = kept.slice(-LINES_FOR_FORM);
    const stays = newest.filter(({ row }) => row).length >= FORM_STAYS_SHARE * newest.length;
    let form: LineForm | null = (stays && known?.form) || null;
    if (!form) {
      ({ form, isChecksumUnknown } = findLineForm(newest.map(({ line }) => (line.isCut ? '' : line.text))));
      for (const entry of kept) entry.row = form && rowOf(entry.line, form);
    }
    if (!form) return null;
    const rows = kept.map(({ row }) => row).filter((row) => row !== null);
    const numerals = Array.from({ length: form.fieldCount }, (_, field) =>
      findNumeralForm(rows.map((row) => row[field] ?? '')),
    );
    const areSame = numerals.every((numeral, field) => sameNumeralForm(numeral, known?.numerals[field]));
    if (known?.form === form && areSame) return { ...known, numerals };
    const fresh: Known = { form, numerals, tracker: createFieldTracker(form.fieldCount) };
    for (const entry of kept) track(fresh, entry);
    return fresh;
  };

  return {
    push(newLines) {
      for (const line of newLines) {
        const entry: KeptLine = { line, row: rowOf(line, known?.form) };
        kept.push(entry);
        if (known) track(known, entry);
      }
      if (kept.length > KEPT_LINES) kept = kept.slice(-KEPT_LINES);
    },

    analyse(baudRate) {
      known = findForm();
      const lines = kept.map(({ line }) => line);
      if (!known) {
        const problem = explainNoForm(lines.length, isChecksumUnknown);
        return { lineRateHz: null, fields: [], proposals: [], problem };
      }
      const { form, numerals, tracker } = known;
      const rows = kept.map(({ row }) => row).filter((row) => row !== null);
      const lineRateHz = tracker.lineRateHz();
      const findings = numerals.map((numeral, field) => {
        const texts = rows.map((row) => row[field] ?? '');
        const values = texts.map((text) => readNumeral(text, numeral));
        return describeField({
          field,
          form: numeral,
          texts,
          values,
          track: tracker.field(field),
          lineRateHz,
        });
      });
      const candidates = rankCountsFields(findings);
      const newestRow = rows[rows.length - 1] ?? [];
      const fields = findings.map((finding, field) => {
        const { spreadNow, spreadBefore } = tracker.field(field);
        const text = newestRow[field] ?? '';
        const isNumber = finding.form.kind !== 'text';
        return {
          field,
          newest: showHeardLine(text).slice(0, LONGEST_SHOWN_FIELD),
          value: isNumber ? valueOf(text, finding) : null,
          spreadNow: isNumber ? spreadNow : null,
          spreadBefore: isNumber ? spreadBefore : null,
          ...guessOf(finding, candidates),
        };
      });
      const proposals =
        lineRateHz === null || lineRateHz < SLOWEST_HZ
          ? []
          : proposeProfiles({ baudRate, lines, form, findings, countsCandidates: candidates, lineRateHz });
      const problem = proposals.length > 0 ? null : explainNoProposal(findings, candidates, lineRateHz);
      return { lineRateHz, fields, proposals, problem };
    },
  };
}

function valueOf(text: string, { form, kind }: FieldFinding): number | null {
  const value = readNumeral(text, form);
  if (Number.isNaN(value)) return null;
  return kind === 'varying' ? asSigned(value, form) : value;
}

function guessOf(
  finding: FieldFinding,
  candidates: readonly CountsCandidate[],
): Pick<Listening['fields'][number], 'guess' | 'reason'> {
  const [best] = candidates;
  if (best?.finding.field === finding.field) return { guess: 'counts', reason: best.reason };
  if (finding.kind === 'varying') {
    const rival = best ? ` ${fieldName(best.finding.field)} is likelier to be the counts.` : '';
    return { guess: 'unknown', reason: `${finding.reason}${rival} Push the arm to see which one follows.` };
  }
  return { guess: finding.kind, reason: finding.reason };
}

function explainNoForm(lineCount: number, isChecksumUnknown: boolean): LineAnalysis['problem'] {
  if (isChecksumUnknown) {
    return {
      code: 'checksum-unknown',
      sentence:
        'The lines end in a checksum (*hh) that is not the exclusive or of the characters between $ and *, so no profile can read them. See whether the device can send them without a checksum, or with that one.',
    };
  }
  if (lineCount < LINES_TO_JUDGE) return null;
  return {
    code: 'no-common-form',
    sentence:
      'The lines have no form in common: no separator gives the same number of fields in most of them, with a number among them. If they look like garbage, listen at another baud rate; else see whether the device can be set to send plain numbers.',
  };
}

function explainNoProposal(
  findings: readonly FieldFinding[],
  candidates: readonly CountsCandidate[],
  lineRateHz: number | null,
): LineAnalysis['problem'] {
  if (lineRateHz === null) return null;
  if (lineRateHz < SLOWEST_HZ) {
    return {
      code: 'too-slow',
      sentence:
        'Fewer than one line a second comes, too slow for any trial. Set the device to a higher rate.',
    };
  }
  const fractions = findings.filter(({ form }) => form.kind === 'fraction');
  if (candidates.length === 0 && fractions.length > 0) {
    return {
      code: 'no-raw-counts',
      sentence: `The numbers have decimals (${fractions.map(({ field }) => fieldName(field).toLowerCase()).join(', ')}): the device sends a quantity that it has computed, not the raw counts of its converter, and only those can be calibrated here. Set the device to send raw counts.`,
    };
  }
  if (candidates.length === 0) {
    return {
      code: 'nothing-varies',
      sentence:
        'No field varies like the counts of a converter so far. Push the arm; if nothing moves, see whether the load cell is connected to the amplifier.',
    };
  }
  return {
    code: 'not-readable',
    sentence:
      'A field varies like counts, but no profile would read enough of the lines. The fields below say what stands against it.',
  };
}
