import { describeMeasure, formatMeasured } from '../comparison/measure-words.ts';
import type { TrialMeasure } from '../comparison/trial-measure.ts';
import { parseTrialMeasureKey } from '../standings/measure-keys.ts';
import { STATIC_CALIBRATION } from '../comparison/comparison-words.ts';
import { formatFactor, formatTermValue } from '../standings/term-words.ts';
import type { Term } from '../standings/scheme-model.ts';
import type {
  Cell,
  EditionSummary,
  PlaceRanges,
  ScoredTrial,
  Standings,
  StandingsInput,
} from '../standings/standings-model.ts';
import { measureWords } from '../standings/words/measure-words.ts';
import {
  labelsOf,
  listWords,
  countWords as rankedWords,
  rangesWords,
  rangeWords,
} from '../standings/words/place-sentences.ts';
import { pointDecimals } from '../standings/words/point-decimals.ts';
import { termWords } from '../standings/words/scheme-sentences.ts';
import { restsOnWords, takesInWords } from '../standings/words/table-sentences.ts';
import { describeProperty } from '../standings/term-words.ts';
import { formatNumber, THIN_SPACE } from '../format-quantity.ts';
import { levelWords } from '../level-words.ts';
import type { TrialRecord } from '../trial/trial-model.ts';
import { operatorWords } from '../calibration/words/calibration-sentences.ts';
import {
  calibrationIdentity,
  cautionSection,
  type Identity,
  identitySection,
  safetySection,
  SIMULATED,
  softwareSection,
  THIS_SPECIMEN,
  trialIdentity,
} from './closing-sections.ts';
import {
  caution,
  charts,
  facts,
  list,
  type ReportChart,
  type ReportSection,
  section,
  table,
  text,
  trail,
} from './report-blocks.ts';
import { headOf, type ReportContext } from './report-context.ts';
import type { Report } from './report-model.ts';
import { leftOutWords } from './trial-facts.ts';
import { numberOf, numberTrials, type TrialNumbers } from './trial-table.ts';

export interface StandingsReportInput {
  readonly input: StandingsInput;
  readonly standings: Standings;
  readonly placeRanges: PlaceRanges;
  /** Null: the table as it is now. */
  readonly edition: { readonly summary: EditionSummary; readonly sinceThen: readonly string[] } | null;
  /** Of the voided trials, for their reasons. */
  readonly voided: readonly TrialRecord[];
  readonly charts: readonly ReportChart[];
}

/** With more trials than these, those that count are counted in the table of trials, and listed in the data package alone. */
const MOST_LISTED = 1000;

/** A table of standings, live or frozen: places with their ranges, the rules, and every trial behind them. */
export function reportOfStandings(source: StandingsReportInput, context: ReportContext): Report {
  const { input, standings, edition } = source;
  const { table: ranked } = standings;
  const numbers = numberTrials(input.trials);
  return {
    title: edition === null ? ranked.name : `${ranked.name}, ${edition.summary.name}`,
    subtitle:
      edition === null
        ? `As it stands on ${context.formatInstant(context.madeAt)}; ${rankedWords(standings)}`
        : `Frozen ${context.formatInstant(edition.summary.createdAt)} by ${operatorWords(edition.summary.operator)}; ${rankedWords(standings)}`,
    ...headOf(context),
    isSimulated: ranked.isSimulated,
    sections: [
      ...placesSection(source),
      ...section('Picture', charts(source.charts)),
      ...cautionSection([
        ...(ranked.isSimulated ? [SIMULATED] : []),
        ...standings.cautions,
        ...standings.rows.flatMap(({ contender, cautions }) =>
          cautions.map((words) => `${contender.label}: ${words}`),
        ),
        STATIC_CALIBRATION,
        THIS_SPECIMEN,
      ]),
      ...cellsSection(source),
      ...notRankedSection(standings),
      ...rulesSection(source, context),
      ...propertiesSection(input),
      ...calibrationsOfTable(input),
      ...sinceThenSection(source),
      ...trialsSection(source, numbers, context),
      ...trailSection(source),
      ...identitySection(identities(source, numbers)),
      ...softwareSection(context, {
        measuredBy: [edition?.summary.definitionVersion ?? context.definitionVersion],
        recordedWith: edition === null ? [] : [`frozen by Proofarm ${edition.summary.softwareVersion}`],
      }),
      ...safetySection(),
    ],
  };
}

function placesSection({ standings, placeRanges }: StandingsReportInput): ReportSection[] {
  const { rows } = standings;
  const decimals = pointDecimals(rows.map(({ total }) => total));
  const labelOf = labelsOf(standings);
  const rangeOf = (key: string) => placeRanges.ranges.find((range) => range.key === key);
  return section('Standings', [
    rows.length === 0 ? text('Nobody is ranked yet.') : null,
    table(
      `Places with their ranges and totals in points. ${rangesWords(placeRanges, false)}`,
      ['>Place', 'Range', 'Tool and setup', '>Total', 'Not told apart from'],
      rows.map(({ place, contender, total }) => [
        String(place),
        rangeWords(placeRanges, contender.key) || '–',
        contender.label,
        formatNumber(total, decimals),
        listWords((rangeOf(contender.key)?.notSeparatedFrom ?? []).map(labelOf)) || '–',
      ]),
    ),
    list(placeRanges.sentences),
    text(drawWords(placeRanges)),
  ]);
}

function drawWords({ drawCount, seed, criticalValue }: PlaceRanges): string {
  if (drawCount === 0) return '';
  const critical =
    criticalValue === null
      ? ''
      : ` Critical value of the largest standardised difference: ${formatNumber(criticalValue, 3)}.`;
  return `Ranges: ${formatNumber(drawCount, 0)} draws from the seed ${String(seed)}, 95${THIN_SPACE}% for all places at once.${critical}`;
}

/** A table for each term: with many terms side by side no page is wide enough. */
function cellsSection({ standings }: StandingsReportInput): ReportSection[] {
  const { rows, scheme, table: ranked } = standings;
  const decimals = pointDecimals(rows.map(({ total }) => total));
  return section(
    'What each place came from',
    scheme.terms.map((term) => {
      const lines = rows.flatMap(({ place, contender, cells }) => {
        const cell = cells.find(({ termId }) => termId === term.id);
        if (cell === undefined) return [];
        return [
          [
            String(place),
            contender.label,
            cell.value === null ? '–' : formatTermValue(term.measure, cell.value, ranked.currency),
            String(cell.count),
            cell.points === null ? '–' : formatNumber(cell.points, decimals),
            cellRemark(cell),
          ],
        ];
      });
      const hasRemarks = lines.some((line) => line.at(-1) !== '');
      const columns = ['>Place', 'Tool and setup', '>Value', '>Trials', '>Points', 'Remark'];
      return hasRemarks
        ? table(term.label, columns, lines)
        : table(
            term.label,
            columns.slice(0, -1),
            lines.map((line) => line.slice(0, -1)),
          );
    }),
  );
}

function cellRemark({ points, missing, isCapped }: Cell): string {
  return [
    ...(missing === null ? [] : [missing]),
    ...(points === null ? ['left out of the total'] : []),
    ...(isCapped ? ['capped'] : []),
  ].join('; ');
}

function notRankedSection({ notRanked }: Standings): ReportSection[] {
  return section('Not ranked', [
    table(
      'Tools without a place, with all that keeps them out',
      ['Tool and setup', 'Why'],
      notRanked.map(({ contender, because }) => [contender.label, because.join(' ')]),
    ),
  ]);
}

function rulesSection({ standings, input }: StandingsReportInput, context: ReportContext): ReportSection[] {
  const { scheme, table: ranked } = standings;
  const nameOf = (schemeId: string) =>
    input.schemes.find((version) => version.schemeId === schemeId)?.name ?? null;
  const labelOf = labelsOf(standings);
  const level = (torqueNm: number) => levelWords(torqueNm, context.torqueUnit);
  const words = (term: Term) =>
    termWords(term, {
      value: (measure, value) => formatTermValue(measure, value, ranked.currency),
      measure: (measure) => measureWords(measure, level, nameOf),
      contender: labelOf,
    });
  return section('The rules', [
    facts([
      { name: 'Takes in', value: takesInWords(ranked) },
      { name: 'Rests on', value: restsOnWords({ table: ranked, scheme }) },
      {
        name: 'Version of the rules',
        value: `${formatNumber(scheme.version, 0)}, of ${context.formatInstant(scheme.createdAt)}, ${operatorWords(scheme.operator)}`,
      },
      {
        name: 'Total',
        value: scheme.isNormalised
          ? 'sum of the points over the sum of the factors that took part'
          : 'sum of the points',
      },
      ...(scheme.note === '' ? [] : [{ name: 'Note', value: scheme.note }]),
    ]),
    table(
      'Terms: what is measured, and how it becomes points',
      ['Term', 'Measured is', '>Factor', 'Points'],
      scheme.terms.map((term) => [
        term.label,
        measureWords(term.measure, level, nameOf),
        formatFactor(term.factor),
        words(term),
      ]),
    ),
    table(
      'Exchange rates that prices were compared by',
      ['Currency', 'In', '>Rate', 'Of', 'Source'],
      input.rates.map(({ currency, inCurrency, rate, on, source }) => [
        currency,
        inCurrency,
        String(rate),
        on,
        source,
      ]),
    ),
  ]);
}

/** Prices, masses, claims and ratings are not measured here; each stands with its source. */
function propertiesSection({ subjects, table: { currency } }: StandingsInput): ReportSection[] {
  return section('What was not measured here', [
    table(
      'Properties of the tools, with where they come from',
      ['Tool and setup', 'Property', '>Value', 'Source, or why there is none'],
      subjects.flatMap(({ contender, properties }) =>
        properties.map(({ property, value, missing, source }) => [
          contender.label,
          describeProperty(property),
          value === null ? '–' : formatTermValue({ of: 'tool', property }, value, currency),
          value === null ? (missing ?? 'missing') : source,
        ]),
      ),
    ),
  ]);
}

function calibrationsOfTable({ calibrations }: StandingsInput): ReportSection[] {
  return section('Calibrations', [
    table(
      'Calibrations that the trials are read by; uncertainty of the scale, standard, relative',
      ['Calibration', '>Uncertainty', 'Identity'],
      calibrations.map(({ calibrationId, label, uncertainty }) => [
        label,
        uncertainty === null ? 'not stated' : `${formatNumber(100 * uncertainty, 2)}${THIN_SPACE}%`,
        calibrationId,
      ]),
    ),
  ]);
}

function sinceThenSection({ edition }: StandingsReportInput): ReportSection[] {
  if (edition === null || edition.sinceThen.length === 0) return [];
  return section('Since then', [
    caution('The figures of this edition stay as they were frozen. This is what became of its trials since.'),
    list(edition.sinceThen),
  ]);
}

function trialsSection(
  { input, standings, voided }: StandingsReportInput,
  numbers: TrialNumbers,
  { formatInstant }: ReportContext,
): ReportSection[] {
  const labelOf = labelsOf(standings);
  const calibrationLabels = new Map(
    input.calibrations.map(({ calibrationId, label }) => [calibrationId, label]),
  );
  const byId = new Map(voided.map((record) => [record.summary.id, record]));
  const measures = input.measures.map((key) => parseTrialMeasureKey(key).measure);
  const inOrder = inNumberOrder(input.trials, numbers);
  const leftOut = inOrder.filter(({ leftOutBecause }) => leftOutBecause !== null);
  const isLong = inOrder.length > MOST_LISTED;
  const shown = isLong ? leftOut : inOrder;
  const rows = shown.map((trial): string[] => [
    numberOf(numbers, trial.trialId),
    formatInstant(trial.startedAt),
    labelOf(trial.key),
    trial.direction,
    valuesInWords(trial, measures),
    calibrationLabels.get(trial.calibrationId) ?? trial.calibrationId,
    trial.leftOutBecause === null
      ? 'counts'
      : `left out: ${leftOutWords(trial.leftOutBecause, byId.get(trial.trialId))}`,
  ]);
  return section('Every trial', [
    text(countWords(inOrder.length - leftOut.length, leftOut.length)),
    ...(isLong
      ? [
          text(
            'There are too many to list those that count; the data package of the same table has each of them.',
          ),
        ]
      : []),
    table(
      isLong
        ? 'Trials that are left out'
        : 'All trials in the order in which they were pulled, those that do not count too',
      ['>No.', 'Pulled', 'Tool and setup', 'Direction', 'Values', 'Read by', 'Counts, or why not'],
      rows,
    ),
  ]);
}

function countWords(counting: number, leftOut: number): string {
  const count = counting === 1 ? '1 trial counts' : `${formatNumber(counting, 0)} trials count`;
  return `${count}, ${formatNumber(leftOut, 0)} ${leftOut === 1 ? 'is' : 'are'} left out.`;
}

function valuesInWords({ values }: ScoredTrial, measures: readonly TrialMeasure[]): string {
  const known = values.flatMap(({ measure: place, value }) => {
    const measure = measures[place];
    return measure === undefined || value === null
      ? []
      : [`${describeMeasure(measure)} ${formatMeasured(measure, value)}`];
  });
  return known.length === 0 ? '–' : known.join('; ');
}

function inNumberOrder(trials: readonly ScoredTrial[], numbers: TrialNumbers): ScoredTrial[] {
  return trials.toSorted((one, other) => (numbers.get(one.trialId) ?? 0) - (numbers.get(other.trialId) ?? 0));
}

function trailSection({ input, edition }: StandingsReportInput): ReportSection[] {
  return section('Who decided what, and when', [
    trail([
      ...input.schemes.map(({ name, version, operator, createdAt }) => ({
        at: createdAt,
        text: `Rules “${name}”, version ${version} (${operatorWords(operator)}).`,
      })),
      ...(edition === null
        ? []
        : [
            {
              at: edition.summary.createdAt,
              text: `Edition “${edition.summary.name}” frozen (${operatorWords(edition.summary.operator)})${edition.summary.note === '' ? '.' : `: ${edition.summary.note}`}`,
            },
          ]),
    ]),
  ]);
}

function identities({ input, edition }: StandingsReportInput, numbers: TrialNumbers): Identity[] {
  const { trials, calibrations, table: ranked } = input;
  return [
    ...(edition === null
      ? [{ what: 'This table', id: ranked.id, where: 'published/standings.json' }]
      : [
          { what: 'This edition', id: edition.summary.id, where: 'published/edition.json' },
          {
            what: 'Its fingerprint (SHA-256)',
            id: edition.summary.fingerprint,
            where: 'published/edition.json, summary.fingerprint',
          },
        ]),
    ...calibrations.map(({ label, calibrationId }) => calibrationIdentity(label, calibrationId)),
    ...(trials.length > MOST_LISTED
      ? []
      : inNumberOrder(trials, numbers).map(({ trialId }) =>
          trialIdentity(`Trial ${numberOf(numbers, trialId)}`, trialId),
        )),
  ];
}
