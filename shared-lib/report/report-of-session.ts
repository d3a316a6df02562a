import { STATIC_CALIBRATION } from '../comparison/comparison-words.ts';
import { formatDuration, formatNumber, fromOwnUnit, THIN_SPACE } from '../format-quantity.ts';
import type { RunSheet } from '../run-sheet/run-sheet-model.ts';
import type { Exposure, SessionReport } from '../run-sheet/session-model.ts';
import {
  countWords,
  EXPOSURE_POINTS,
  exposureStateNames,
  gateSentence,
  REFERENCE_DRIFT_UNKNOWN,
  setupRow,
  ZERO_DRIFT_UNKNOWN,
} from '../run-sheet/session-words.ts';
import type { TorqueDisplay } from '../torque-display.ts';
import type { TrialRecord } from '../trial/trial-model.ts';
import { placeWords, stepWords } from '../trial/words/pull-words.ts';
import { suspicionWords } from '../trial/words/suspicion-words.ts';
import { trialRow } from '../trial/words/trial-row.ts';
import { interruptionWords } from '../trial/words/trial-sentences.ts';
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
  charts,
  facts,
  list,
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
import { benchRows, definitionsOf, recordedWith, setupFacts, standingVoid } from './trial-facts.ts';
import { decisionsSection, numberOf, numberTrials, type TrialNumbers } from './trial-table.ts';

export interface SessionReportInput {
  readonly session: SessionReport;
  /** Of all trials that have ended, oldest first. */
  readonly records: readonly TrialRecord[];
  readonly sheets: readonly RunSheet[];
  readonly calibrations: readonly CalibrationReport[];
  readonly calibrationLabel: (calibrationId: string) => string | null;
  readonly charts: readonly ReportChart[];
}

/** A sitting at the bench: what was pulled, what came of it, what does not count and why. */
export function reportOfSession(input: SessionReportInput, context: ReportContext): Report {
  const { session, records, calibrations, sheets } = input;
  const { summary } = session;
  const torque = torqueOf(
    context.torqueUnit,
    records[0]?.conditions.transducer.capacityNm ?? null,
    calibrations,
  );
  const numbers = numberTrials(records.map(({ summary: { id, startedAt } }) => ({ trialId: id, startedAt })));
  return {
    title: `Session of ${context.formatInstant(summary.startedAt)}`,
    subtitle: countWords(summary),
    ...headOf(context),
    isSimulated: summary.isSimulated,
    sections: [
      ...section('Session', [
        facts([
          ...sessionRows(session, context),
          { name: 'Transducer', value: summary.transducerName },
          { name: 'Trials', value: countWords(summary) },
        ]),
      ]),
      ...setupsSection(session, torque),
      ...section('Pictures', charts(input.charts)),
      ...cautionSection([...(summary.isSimulated ? [SIMULATED] : []), STATIC_CALIBRATION, THIS_SPECIMEN]),
      ...section('What was measured, and how', [
        ...(sheets.length === 0
          ? [text('No run sheet fixed the order of the pulls, their number or their rests beforehand.')]
          : sheets.map((sheet) => facts(sheetRows(sheet, context)))),
      ]),
      ...setupsAsTested(records, torque),
      ...section('Bench', [facts(commonRows(records.map((record) => benchRows(record, torque))))]),
      ...(records.length === 0
        ? []
        : calibrationsSection(
            calibrations,
            {
              firstAt: records[0]?.summary.startedAt ?? '',
              lastAt: records.at(-1)?.summary.startedAt ?? '',
            },
            context,
          )),
      ...driftSection(session),
      ...trialsSection(records, numbers, torque, context),
      ...skippedSection(session),
      ...decisionsSection(records, numbers, {
        formatTorque: torque.format,
        calibrationLabel: input.calibrationLabel,
      }),
      ...exposureSection(session.exposure),
      ...identitySection([
        sessionIdentity('This session', summary.id),
        ...records.map(({ summary: { id } }) => trialIdentity(`Trial ${numberOf(numbers, id)}`, id)),
        ...calibrations.map(({ version }) => calibrationIdentity(version.label, version.id)),
      ]),
      ...softwareSection(context, {
        measuredBy: definitionsOf(records),
        recordedWith: recordedWith(records),
      }),
      ...safetySection(),
    ],
  };
}

function setupsSection({ setups, qualityGate }: SessionReport, torque: TorqueDisplay): ReportSection[] {
  const formatScatter = (torqueNm: number) =>
    formatNumber(fromOwnUnit(torqueNm, torque.unit), torque.decimals + 1);
  const rows = setups.map((figures) => setupRow(figures, torque, formatScatter));
  return section('Results', [
    text(gateSentence(qualityGate)),
    rows.length === 0
      ? text('Nothing was pulled in this session.')
      : table(
          `Sustained torque in ${torque.unitLabel}; s: standard deviation (n − 1); interval of the mean by Student’s t`,
          [
            'Setup',
            'Step',
            '>n',
            '>Left out',
            '>Conditioning',
            '>Voided',
            '>Mean',
            '>s',
            `>95${THIN_SPACE}% interval`,
          ],
          rows.map((row) => [
            row.label,
            row.step,
            row.count,
            row.leftOut,
            row.conditioning,
            row.voided,
            row.mean,
            row.deviation,
            row.interval,
          ]),
        ),
    list(rows.flatMap(({ label, step, remark }) => (remark === '' ? [] : [`${label}, ${step}: ${remark}`]))),
  ]);
}

function setupsAsTested(records: readonly TrialRecord[], torque: TorqueDisplay): ReportSection[] {
  const bySetup = new Map<string, TrialRecord[]>();
  for (const record of records) {
    const { setup, step } = record.summary;
    const key = setup?.setupId ?? step.toolName;
    bySetup.set(key, [...(bySetup.get(key) ?? []), record]);
  }
  return section(
    'Setups as tested',
    [...bySetup.values()].map((ofSetup) =>
      facts(commonRows(ofSetup.map((record) => setupFacts(record, torque)))),
    ),
  );
}

function driftSection({ zeroDrift, referenceDrift }: SessionReport): ReportSection[] {
  return section('Drift over the session', [
    facts([
      { name: 'Zero', value: zeroDrift?.sentence ?? ZERO_DRIFT_UNKNOWN },
      { name: 'Reference tool', value: referenceDrift?.sentence ?? REFERENCE_DRIFT_UNKNOWN },
    ]),
  ]);
}

function trialsSection(
  records: readonly TrialRecord[],
  numbers: TrialNumbers,
  torque: TorqueDisplay,
  { formatInstant }: ReportContext,
): ReportSection[] {
  return section('Every trial', [
    records.length === 0 ? text('No trial has ended in this session.') : null,
    table(
      `All trials in the order in which they were pulled, those that do not count too; sustained torque in ${torque.unitLabel}`,
      [
        '>No.',
        'Pulled',
        'Tool and setup',
        'Step',
        'Place',
        '>Rest before',
        '>Torque',
        'Quality',
        'State, and why',
      ],
      records.map((record) => {
        const { summary, conditions } = record;
        const row = trialRow(summary, formatInstant, torque.formatNumber);
        return [
          numberOf(numbers, summary.id),
          row.when,
          [row.tool, row.setup].filter((part) => part !== '').join(', '),
          stepWords(summary.step),
          summary.place === null ? '–' : placeWords(summary.place) || 'counted',
          conditions.restedS === null ? '–' : formatDuration(conditions.restedS, 0),
          row.sustained,
          row.quality,
          stateAndWhy(record, row.state, formatInstant),
        ];
      }),
    ),
  ]);
}

function stateAndWhy(record: TrialRecord, state: string, formatInstant: (instant: string) => string): string {
  const suspicion = suspicionWords(record.summary.suspicion, formatInstant);
  const voided = standingVoid(record);
  const reasons = [
    ...(voided === null
      ? []
      : [`“${voided.reason}”, ${voided.figuresShown ? 'after' : 'before'} its figures were shown`]),
    ...(record.interruption === null ? [] : [interruptionWords(record.interruption)]),
    ...(record.figures?.quality.reasons.map(({ sentence }) => sentence) ?? []),
    ...(suspicion === null ? [] : [suspicion.sentence]),
  ];
  return reasons.length === 0 ? state : `${state}: ${reasons.join('; ')}`;
}

function skippedSection({ skipped }: SessionReport): ReportSection[] {
  if (skipped.length === 0) return [];
  return section('Skipped', [
    table(
      'Entries of the run sheet that were not pulled',
      ['Entry', 'Why'],
      skipped.map(({ label, reason }) => [label, reason]),
    ),
  ]);
}

function exposureSection(exposure: Exposure): ReportSection[] {
  const { tools, triggerS, points, a8Mps2, knownTriggerS, noiseLex8hDbA, state, sentences } = exposure;
  const figure = (value: number | null, decimals: number) =>
    value === null ? 'not declared' : formatNumber(value, decimals);
  const isKnown = knownTriggerS > 0;
  return section('Trigger time, vibration and noise', [
    isKnown ? text(`${exposureStateNames[state]}.`) : null,
    table(
      EXPOSURE_POINTS,
      ['Tool', '>Pulls', '>Trigger time', '>Vibration, m/s²', '>Points', '>Noise, dB(A)'],
      [
        ...tools.map((tool) => [
          tool.toolName,
          String(tool.pullCount),
          formatDuration(tool.triggerS, 0),
          figure(tool.vibrationMps2, 1),
          figure(tool.points, 1),
          figure(tool.noiseDbA, 0),
        ]),
        ...(tools.length === 0
          ? []
          : [
              [
                'All',
                String(tools.reduce((sum, { pullCount }) => sum + pullCount, 0)),
                formatDuration(triggerS, 0),
                isKnown ? `A(8) ${formatNumber(a8Mps2, 2)}` : '–',
                isKnown ? formatNumber(points, 1) : '–',
                noiseLex8hDbA === null ? '–' : `${formatNumber(noiseLex8hDbA, 1)} over 8${THIN_SPACE}h`,
              ],
            ]),
      ],
    ),
    list(sentences),
  ]);
}
