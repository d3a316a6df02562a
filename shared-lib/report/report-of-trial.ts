import { expandedUncertaintyNm } from '../calibration/uncertainty-at.ts';
import { STATIC_CALIBRATION } from '../comparison/comparison-words.ts';
import { formatNumber, formatQuantity, THIN_SPACE } from '../format-quantity.ts';
import { describeSetup } from '../run-sheet/describe-entry.ts';
import type { RunSheet } from '../run-sheet/run-sheet-model.ts';
import type { SessionReport } from '../run-sheet/session-model.ts';
import { safetyWords } from '../run-sheet/session-words.ts';
import type { TorqueDisplay } from '../torque-display.ts';
import type { TrialRecord } from '../trial/trial-model.ts';
import { conditionRows } from '../trial/words/condition-rows.ts';
import { figureRows } from '../trial/words/figure-rows.ts';
import { stepWords } from '../trial/words/pull-words.ts';
import { qualityWords } from '../trial/words/quality-words.ts';
import { preparationRows, setupRows } from '../trial/words/setup-rows.ts';
import { suspicionWords } from '../trial/words/suspicion-words.ts';
import { trailOf } from '../trial/words/trail.ts';
import {
  faultsOnTimeLine,
  interruptionWords,
  readByWords,
  stateWords,
  summariseTrial,
} from '../trial/words/trial-sentences.ts';
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
import { sheetRows } from './sheet-rows.ts';
import { definitionsOf, recordedWith, standingVoid, surroundings } from './trial-facts.ts';

export interface TrialReportInput {
  readonly record: TrialRecord;
  readonly session: SessionReport | null;
  readonly sheet: RunSheet | null;
  /** The calibration that its figures are read by. */
  readonly calibration: CalibrationReport;
  readonly calibrationLabel: (calibrationId: string) => string | null;
  readonly charts: readonly ReportChart[];
}

/** One trial with everything that is known of it. */
export function reportOfTrial(input: TrialReportInput, context: ReportContext): Report {
  const { record, session, sheet, calibration } = input;
  const { summary, conditions, figures } = record;
  const torque = torqueOf(context.torqueUnit, conditions.transducer.capacityNm, [calibration]);
  return {
    title: summary.setup === null ? summary.step.toolName : describeSetup(summary.setup),
    subtitle: `Trial of ${context.formatInstant(summary.startedAt)}: ${stepWords(summary.step)}`,
    ...headOf(context),
    isSimulated: summary.isSimulated,
    sections: [
      ...inShort(input, torque, context),
      ...section('Curve', charts(input.charts)),
      ...cautionSection([
        ...(summary.isSimulated ? [SIMULATED] : []),
        STATIC_CALIBRATION,
        THIS_SPECIMEN,
        'One pull says nothing of how far pulls scatter.',
      ]),
      ...figuresSection(record, torque),
      ...section('What was pulled, and how', [
        facts([...setupRows(record, torque.format), ...preparationRows(conditions)]),
        ...(sheet === null ? [] : [facts(sheetRows(sheet, context))]),
      ]),
      ...section('Bench and surroundings', [
        facts([
          ...conditionRows(record, calibration.version, torque),
          ...surroundings(session?.conditions ?? null),
          ...(session === null
            ? []
            : [{ name: 'Safety list', value: safetyWords(session, context.formatInstant) }]),
        ]),
      ]),
      ...calibrationsSection(
        [calibration],
        { firstAt: summary.startedAt, lastAt: summary.startedAt },
        context,
      ),
      ...faultSection(record),
      ...trailSection(input, torque),
      ...identitySection([
        trialIdentity('This trial', summary.id),
        calibrationIdentity(calibration.version.label, calibration.version.id),
        sessionIdentity('Its session', summary.sessionId),
      ]),
      ...softwareSection(context, {
        measuredBy: figures === null ? [] : definitionsOf([record]),
        recordedWith: recordedWith([record]),
      }),
      ...safetySection(),
    ],
  };
}

function inShort(
  { record, calibration }: TrialReportInput,
  torque: TorqueDisplay,
  { formatInstant }: ReportContext,
): ReportSection[] {
  const { summary, figures, interruption } = record;
  const voided = standingVoid(record);
  const suspicion = suspicionWords(summary.suspicion, formatInstant);
  return section('In short', [
    text(summariseTrial(record, torque.format)),
    ...(voided === null
      ? []
      : [
          caution(
            `Voided by ${voided.operator === '' ? 'somebody unnamed' : voided.operator}, ${voided.figuresShown ? 'after' : 'before'} its figures were shown: ${voided.reason}`,
          ),
        ]),
    ...(interruption === null ? [] : [caution(`Interrupted: ${interruptionWords(interruption)}.`)]),
    ...(suspicion === null ? [] : [caution(suspicion.sentence)]),
    facts([
      { name: 'State', value: stateWords(summary) },
      ...(figures === null
        ? []
        : [
            {
              name: 'Quality',
              value: [
                qualityWords[figures.quality.verdict],
                ...figures.quality.reasons.map(({ sentence }) => sentence),
              ].join(': '),
            },
          ]),
      { name: 'Figures', value: readByWords(record, calibration.version) },
      ...uncertaintyRows(record, calibration, torque),
    ]),
  ]);
}

/** What the calibration alone leaves open of the sustained torque. */
function uncertaintyRows(
  { summary, figures }: TrialRecord,
  { result, version }: CalibrationReport,
  torque: TorqueDisplay,
): { readonly name: string; readonly value: string }[] {
  const sense = result?.senses.find(({ sense: direction }) => direction === summary.step.direction);
  if (figures === null || !('value' in figures.sustainedTorqueNm)) return [];
  const { value } = figures.sustainedTorqueNm;
  const { enteredUncertaintyPercent } = version;
  const enteredNm = enteredUncertaintyPercent === null ? null : (value * enteredUncertaintyPercent) / 100;
  const expandedNm = sense === undefined ? enteredNm : expandedUncertaintyNm(sense, value, 'bench');
  if (!(value > 0) || expandedNm === null) return [];
  const how =
    sense === undefined
      ? 'as it was entered for the calibration'
      : `coverage 95${THIN_SPACE}%, by the calibration at bench time`;
  return [
    {
      name: 'Uncertainty of the sustained torque',
      value: `±${formatQuantity(expandedNm, torque.unit, torque.decimals + 1)} (±${formatNumber((100 * expandedNm) / value, 2)}${THIN_SPACE}%), ${how}; how pulls scatter comes on top`,
    },
  ];
}

function figuresSection({ figures }: TrialRecord, torque: TorqueDisplay): ReportSection[] {
  if (figures === null) return [];
  return section('Figures', [
    table(
      'All figures of this trial, each with its definition; “no figure” stands with the reason',
      ['Figure', '>Value', 'Known to', 'Definition, or why there is none'],
      figureRows(figures, torque).map(({ name, value, uncertainty, hint }) => [
        name,
        value,
        uncertainty ?? '–',
        hint ?? 'as above',
      ]),
    ),
    text(
      `Sampled at ${formatQuantity(figures.sampleRateHz, 'SaPerS', 0)}; the measuring curve is the centred mean over ${formatQuantity(figures.windowS, 'ms', 0)}.`,
    ),
  ]);
}

function faultSection({ faults, figures }: TrialRecord): ReportSection[] {
  if (faults.length === 0) return section('Faults and events', [text('None was found in its record.')]);
  const recordStartS = figures?.onsetS == null ? null : -figures.onsetS;
  return section('Faults and events', [
    table(
      recordStartS === null
        ? 'What was found in the record; times from its beginning'
        : 'What was found in the record; times from onset',
      ['>No.', '>Time', 'What happened'],
      faultsOnTimeLine(faults, recordStartS ?? 0).map(({ number, fault, timeS }) => [
        String(number),
        timeS === null ? 'no instant' : formatQuantity(timeS, 's', 2),
        fault.sentence,
      ]),
    ),
  ]);
}

function trailSection(
  { record, calibrationLabel }: TrialReportInput,
  torque: TorqueDisplay,
): ReportSection[] {
  const { annotations, summary } = record;
  const note = annotations.at(-1)?.note ?? '';
  const entries = trailOf(record, { formatTorque: torque.format, calibrationLabel });
  return section('Who decided what, and when', [
    ...(note === '' ? [] : [text(`Note: ${note}`)]),
    ...(summary.tags.length === 0 ? [] : [list(summary.tags.map((tag) => `Tag: ${tag}`))]),
    trail(entries.map((entry) => ({ at: entry.at, text: trailText(entry) }))),
  ]);
}

export function trailText({
  operator,
  what,
  sentence,
}: {
  readonly operator: string | null;
  readonly what: string;
  readonly sentence: string;
}): string {
  const by = operator === null ? 'the program' : operator === '' ? 'no operator named' : operator;
  return `${what} (${by}): ${sentence}`;
}
