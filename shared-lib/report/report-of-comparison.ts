import type { RequestResult } from '../api-contract.ts';
import { describeComparedStep } from '../comparison/measure-words.ts';
import type { ComparedTrial, Comparison } from '../comparison/comparison-model.ts';
import {
  checkpointWords,
  confidenceWords,
  differenceWords,
  leadSentence,
  percentWords,
  ratioWords,
  roundWords,
  runStateWords,
  type SideNames,
  sideNames,
  sideWords,
  stepName,
  verdictWords,
} from '../comparison/words/compare-sentences.ts';
import { detailRows } from '../comparison/words/detail-rows.ts';
import {
  measureDisplay,
  type MeasureDisplay,
  measureName,
  measureQuestion,
} from '../comparison/words/measure-choices.ts';
import { runPoints } from '../comparison/words/run-points.ts';
import { runsSummary } from '../comparison/words/run-sentences.ts';
import { formatDuration } from '../format-quantity.ts';
import type { RunSheet } from '../run-sheet/run-sheet-model.ts';
import type { SessionReport } from '../run-sheet/session-model.ts';
import { gateSentence } from '../run-sheet/session-words.ts';
import type { TorqueDisplay } from '../torque-display.ts';
import type { TrialRecord } from '../trial/trial-model.ts';
import { type CalibrationReport, calibrationsSection, torqueOf } from './calibration-in-short.ts';
import {
  calibrationIdentity,
  cautionSection,
  identitySection,
  safetySection,
  sessionIdentity,
  SIMULATED,
  softwareSection,
  THIS_SPECIMEN,
  trialIdentity,
} from './closing-sections.ts';
import { commonRows } from './common-rows.ts';
import {
  caution,
  charts,
  facts,
  type ReportChart,
  type ReportSection,
  section,
  table,
  text,
} from './report-blocks.ts';
import { headOf, type ReportContext } from './report-context.ts';
import type { Report } from './report-model.ts';
import { sessionRows } from './session-rows.ts';
import { sheetRows } from './sheet-rows.ts';
import { benchRows, definitionsOf, leftOutWords, recordedWith, setupFacts } from './trial-facts.ts';
import { decisionsSection, numberOf, numberTrials, type TrialNumbers } from './trial-table.ts';

export interface ComparisonReportInput {
  readonly comparison: Comparison;
  /** Of all trials that the comparison names, left out or not. */
  readonly records: readonly TrialRecord[];
  readonly sessions: readonly SessionReport[];
  readonly sheets: readonly RunSheet[];
  /** Those that the trials are read by. */
  readonly calibrations: readonly CalibrationReport[];
  readonly calibrationLabel: (calibrationId: string) => string | null;
  readonly charts: readonly ReportChart[];
}

interface Shown extends ComparisonReportInput {
  readonly names: SideNames;
  readonly torque: TorqueDisplay;
  readonly display: MeasureDisplay;
  readonly numbers: TrialNumbers;
  readonly isSimulated: boolean;
}

/** A against B by one measure, with all that the verdict rests on. */
export function reportOfComparison(input: ComparisonReportInput, context: ReportContext): Report {
  const { comparison, records, calibrations } = input;
  const { a, b, measure, step } = comparison;
  const capacityNm = records[0]?.conditions.transducer.capacityNm ?? null;
  const torque = torqueOf(context.torqueUnit, capacityNm, calibrations);
  const shown: Shown = {
    ...input,
    names: sideNames(a.contender, b.contender),
    torque,
    display: measureDisplay(measure, torque),
    numbers: numberTrials(comparison.trials),
    isSimulated: a.contender.isSimulated || b.contender.isSimulated,
  };
  return {
    title: `${a.contender.label} against ${b.contender.label}`,
    subtitle: `${measureName(measure, torque)}, ${describeComparedStep(step)}`,
    ...headOf(context),
    isSimulated: shown.isSimulated,
    sections: [
      ...verdictSection(shown),
      ...section('Pictures', charts(input.charts)),
      ...cautionSection([...(shown.isSimulated ? [SIMULATED] : []), ...comparison.cautions, THIS_SPECIMEN]),
      ...restsOnSection(shown),
      ...methodSection(shown, context),
      ...conditionsSections(shown, context),
      ...calibrationsSection(calibrations, spanOf(comparison.trials), context),
      ...trialsSection(shown, context),
      ...decisionsSection(records, shown.numbers, {
        formatTorque: torque.format,
        calibrationLabel: input.calibrationLabel,
      }),
      ...identities(shown, context),
      ...softwareSection(context, {
        measuredBy: definitionsOf(records),
        recordedWith: recordedWith(records),
      }),
      ...safetySection(),
    ],
  };
}

/** Two that cannot be compared are published with the reasons, as any other outcome. */
export function reportOfNotComparable(
  labels: { readonly a: string; readonly b: string },
  { reasons }: NonNullable<RequestResult<'compare'>['notComparable']>,
  context: ReportContext,
): Report {
  return {
    title: `${labels.a} against ${labels.b}`,
    subtitle: 'Not compared',
    ...headOf(context),
    isSimulated: false,
    sections: [
      ...section('In short', [
        text('The two cannot be compared, for the reasons below. No figure is given.'),
        ...reasons.map(caution),
      ]),
      ...softwareSection(context, { measuredBy: [], recordedWith: [] }),
      ...safetySection(),
    ],
  };
}

function spanOf(trials: readonly ComparedTrial[]): { readonly firstAt: string; readonly lastAt: string } {
  const times = trials.map(({ startedAt }) => startedAt).sort();
  return { firstAt: times[0] ?? '', lastAt: times.at(-1) ?? '' };
}

function verdictSection({ comparison, names, torque, display }: Shown): ReportSection[] {
  const { verdict, marginPercent, sentence, isProvisional, isLikeForLike, a, b, measure } = comparison;
  const mean = (value: number | null) => (value === null ? 'no value yet' : display.format(value));
  const marks = [...(isProvisional ? ['provisional'] : []), ...(isLikeForLike ? [] : ['not like for like'])];
  const { ratio, difference, confidence } = comparison;
  return section('Verdict', [
    text(sentence),
    facts([
      {
        name: measureQuestion(measure, torque),
        value: [verdictWords(verdict, marginPercent).word, ...marks].join(', '),
      },
      { name: `A: ${names.a}`, value: mean(a.mean), note: sideWords(a) },
      { name: `B: ${names.b}`, value: mean(b.mean), note: sideWords(b) },
      ...(ratio === null
        ? []
        : [{ name: `A over B, ${confidenceWords(confidence)} interval`, value: ratioWords(ratio) }]),
      ...(difference === null ? [] : [{ name: 'A minus B', value: differenceWords(difference, display) }]),
      { name: 'Margin, fixed before the session', value: percentWords(marginPercent) },
    ]),
  ]);
}

function restsOnSection({ comparison, names }: Shown): ReportSection[] {
  const { checkpoints, referenceDrift } = comparison;
  return section('What the verdict rests on', [
    facts(detailRows(comparison, names)),
    ...(checkpoints.length === 0 ? [] : [text(leadSentence(comparison, names))]),
    table(
      'A over B along the run, from onset; intervals hold all together (Bonferroni)',
      ['>After', '>Ratio with interval', 'Reads'],
      checkpoints.map((checkpoint) => [
        formatDuration(checkpoint.atS, 0),
        checkpoint.ratio === null ? '–' : ratioWords(checkpoint.ratio),
        checkpointWords(checkpoint, names),
      ]),
    ),
    ...referenceDrift.map(({ drift }) => text(drift.sentence)),
  ]);
}

function methodSection({ comparison, sheets }: Shown, context: ReportContext): ReportSection[] {
  const { step, gate, better, isAcrossSessions } = comparison;
  return section('What was measured, and how', [
    facts([
      { name: 'Step', value: stepName(step) },
      { name: 'Better', value: better === 'more' ? 'more is better' : 'less is better' },
      { name: 'Which trials count', value: gateSentence(gate) },
      {
        name: 'Sessions',
        value: isAcrossSessions ? 'across sessions' : 'within sessions that both have',
      },
      { name: 'Other setups in its scatter', value: othersWords(comparison) },
    ]),
    ...(sheets.length === 0
      ? [text('No run sheet fixed the order of the pulls, their number or their rests beforehand.')]
      : sheets.map((sheet) => facts(sheetRows(sheet, context)))),
  ]);
}

function othersWords({ others }: Comparison): string {
  return others.length === 0 ? 'none' : others.map(({ label }) => label).join('; ');
}

function conditionsSections(
  { comparison, records, sessions, torque, names }: Shown,
  context: ReportContext,
): ReportSection[] {
  const byId = new Map(records.map((record) => [record.summary.id, record]));
  const ofSide = (key: string) =>
    comparison.trials.flatMap(({ contenderKey, trialId }) => {
      const record = contenderKey === key ? byId.get(trialId) : undefined;
      return record === undefined ? [] : [record];
    });
  const a = ofSide(comparison.a.contender.key);
  const b = ofSide(comparison.b.contender.key);
  return [
    ...section(`A as tested: ${names.a}`, [facts(commonRows(a.map((record) => setupFacts(record, torque))))]),
    ...section(`B as tested: ${names.b}`, [facts(commonRows(b.map((record) => setupFacts(record, torque))))]),
    ...section('Bench and surroundings', [
      facts(commonRows([...a, ...b].map((record) => benchRows(record, torque)))),
      ...sessions.map((session) => facts(sessionRows(session, context))),
    ]),
  ];
}

function trialsSection(shown: Shown, { formatInstant }: ReportContext): ReportSection[] {
  const { comparison, records, names, display, numbers } = shown;
  const byId = new Map(records.map((record) => [record.summary.id, record]));
  const labels = new Map(comparison.others.map(({ key, label }) => [key, label]));
  const points = runPoints(comparison, true);
  const ownerNames = { a: `A ${names.a}`, b: `B ${names.b}` };
  return section('Every trial', [
    text(runsSummary(points, names)),
    table(
      'All trials in the order in which they were pulled, those that do not count too',
      ['>No.', 'Pulled', 'Whose', '>Round', `>${display.unitLabel}`, 'Counts, or why not'],
      points.map(({ trial, owner }) => [
        numberOf(numbers, trial.trialId),
        formatInstant(trial.startedAt),
        owner === 'a' || owner === 'b'
          ? ownerNames[owner]
          : (labels.get(trial.contenderKey) ??
            (trial.contenderKey === comparison.a.contender.key
              ? ownerNames.a
              : trial.contenderKey === comparison.b.contender.key
                ? ownerNames.b
                : 'another setup')),
        roundWords(trial.round),
        trial.value === null ? '–' : display.formatNumber(trial.value),
        trial.leftOutBecause === null
          ? owner === 'other'
            ? 'in the scatter only'
            : runStateWords(trial)
          : `left out: ${leftOutWords(trial.leftOutBecause, byId.get(trial.trialId))}`,
      ]),
    ),
  ]);
}

function identities(
  { comparison, numbers, calibrations, sessions }: Shown,
  { formatInstant }: ReportContext,
): ReportSection[] {
  const inOrder = comparison.trials.toSorted(
    (one, other) => (numbers.get(one.trialId) ?? 0) - (numbers.get(other.trialId) ?? 0),
  );
  return identitySection([
    ...inOrder.map(({ trialId }) => trialIdentity(`Trial ${numberOf(numbers, trialId)}`, trialId)),
    ...calibrations.map(({ version }) => calibrationIdentity(version.label, version.id)),
    ...sessions.map(({ summary }) =>
      sessionIdentity(`Session of ${formatInstant(summary.startedAt)}`, summary.id),
    ),
  ]);
}
