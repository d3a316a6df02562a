import { budgetShares } from '../calibration/budget-shares.ts';
import type { SenseResult, StepResult } from '../calibration/result-model.ts';
import type { CalibrationRun } from '../calibration/run-model.ts';
import { residualPoints } from '../calibration/residual-points.ts';
import {
  methodWords,
  operatorWords,
  senseWords,
  versionUncertaintyWords,
} from '../calibration/words/calibration-sentences.ts';
import {
  amplifierWords,
  benchTermRows,
  enteredRows,
  enteredSummary,
  fromMemoryRules,
  procedureRows,
  readingRemarks,
  readingsCaption,
  readingsInOrder,
  reportCautions,
  stageWords,
} from '../calibration/words/report-sentences.ts';
import {
  percentColumn,
  percentWords,
  resultTorque,
  type ResultTorque,
  twoDigitDecimals,
} from '../calibration/words/result-figures.ts';
import {
  budgetCaption,
  classWords,
  degreeWords,
  distributionWords,
  FROM_MEMORY,
  lowerLimitWords,
  rankFindings,
  residualSummary,
  senseTitles,
  severityWords,
  shareSummary,
  STEPS_CAPTION,
  uncertaintySummary,
} from '../calibration/words/result-sentences.ts';
import { armWords, siteWords, weightsUsed, weightWords } from '../calibration/words/standards-sentences.ts';
import { validityRows } from '../calibration/words/validity-rows.ts';
import { STATIC_CALIBRATION } from '../comparison/comparison-words.ts';
import { formatNumber, formatQuantity, fromOwnUnit, THIN_SPACE, unitLabel } from '../format-quantity.ts';
import { type CalibrationReport, torqueOf } from './calibration-in-short.ts';
import { checksTable } from './checks-table.ts';
import {
  calibrationIdentity,
  cautionSection,
  identitySection,
  safetySection,
  SIMULATED,
  softwareSection,
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

export interface CalibrationReportInput {
  readonly calibration: CalibrationReport;
  readonly transducer: {
    readonly name: string;
    readonly capacityNm: number | null;
    readonly isSimulated: boolean;
  } | null;
  /** As it is called now; null: none, or it is no longer in the list. */
  readonly amplifierName: string | null;
  readonly charts: readonly ReportChart[];
}

/** A calibration with its standards, its fit, its budget and every reading. */
export function reportOfCalibration(input: CalibrationReportInput, context: ReportContext): Report {
  const { calibration, transducer } = input;
  const { version, run, result, checks } = calibration;
  const isSimulated =
    version.method === 'simulated' || run?.isSimulated === true || transducer?.isSimulated === true;
  return {
    title: `Calibration ${version.label}`,
    subtitle: `From ${methodWords(version.method)}, ${context.formatInstant(version.createdAt)}`,
    ...headOf(context),
    isSimulated,
    sections: [
      ...section('In short', [
        list(result?.summary ?? enteredSummary(version)),
        ...(result === null ? [caution(STATIC_CALIBRATION)] : []),
        ...rankFindings(result?.findings ?? []).map(({ severity, sentence }) =>
          severity === 'note' ? text(sentence) : caution(`${severityWords[severity]}: ${sentence}`),
        ),
      ]),
      ...cautionSection([...(isSimulated ? [SIMULATED] : []), ...reportCautions]),
      ...whatSection(input, context),
      ...section('How long it holds', [
        facts(validityRows(calibration, { day: (day) => day.slice(0, 10), instant: context.formatInstant })),
      ]),
      ...(result === null
        ? enteredSection(input, context)
        : result.senses.flatMap((sense) => senseSection(sense, run, context))),
      ...section('Residuals', charts(input.charts)),
      ...standardsSection(calibration),
      ...section('Daily checks since', [
        checks.length === 0
          ? text('None yet under this calibration.')
          : checksTable(checks, context.formatInstant),
      ]),
      ...(run === null ? [] : readingsSection(run, context)),
      ...trailSection(calibration),
      ...section('Rules from memory', [list(result === null ? [] : fromMemoryRules(result))]),
      ...identitySection([
        calibrationIdentity(version.label, version.id),
        ...(run === null
          ? []
          : [
              {
                what: 'Its run',
                id: run.id,
                where: 'data/calibration_run.csv, data/calibration_reading.csv',
              },
            ]),
      ]),
      ...softwareSection(context, {
        measuredBy: result === null ? [] : [result.definitionVersion],
        recordedWith: [],
      }),
      ...safetySection(),
    ],
  };
}

function whatSection(
  { calibration: { version, run }, transducer, amplifierName }: CalibrationReportInput,
  { formatInstant }: ReportContext,
): ReportSection[] {
  return section('What was calibrated, when and by whom', [
    facts([
      { name: 'Transducer', value: transducer?.name ?? version.transducerId },
      {
        name: 'With the amplifier',
        value: amplifierWords(version, amplifierName),
      },
      { name: 'From', value: methodWords(version.method) },
      ...(run === null ? [] : [{ name: 'Begun', value: formatInstant(run.startedAt) }]),
      {
        name: run === null ? 'Entered' : 'Accepted',
        value: `${formatInstant(version.createdAt)}, ${operatorWords(version.operator)}`,
      },
      ...(version.note === '' ? [] : [{ name: 'Note', value: version.note }]),
    ]),
  ]);
}

function enteredSection(
  { calibration, transducer }: CalibrationReportInput,
  context: ReportContext,
): ReportSection[] {
  const { version } = calibration;
  const torque = torqueOf(context.torqueUnit, transducer?.capacityNm ?? null, [calibration]);
  return section('What was entered', [
    facts([
      { name: 'Forward', value: senseWords(version.forward, torque.unit, torque.format) },
      { name: 'Reverse', value: senseWords(version.reverse, torque.unit, torque.format) },
      { name: 'Uncertainty', value: versionUncertaintyWords(version) },
      ...(version.input === null ? [] : enteredRows(version.input)),
    ]),
  ]);
}

function senseSection(
  sense: SenseResult,
  run: CalibrationRun | null,
  { torqueUnit }: ReportContext,
): ReportSection[] {
  const torque = resultTorque(sense, torqueUnit);
  const { classification, lowerLimit } = sense;
  const reasoned = ({
    sentence,
    isFromMemory,
  }: {
    readonly sentence: string;
    readonly isFromMemory: boolean;
  }) => (isFromMemory && !sentence.includes('as remembered') ? `${sentence} ${FROM_MEMORY}` : sentence);
  const last = sense.steps.at(-1);
  return section(senseTitles[sense.sense], [
    facts([
      { name: 'Class', value: classWords(sense, torque), note: reasoned(classification.reason) },
      { name: 'Lower limit', value: lowerLimitWords(sense, torque), note: reasoned(lowerLimit.reason) },
      {
        name: 'Valid',
        value: `from ${torque.format(sense.validFromNm)} to ${torque.format(sense.validToNm)}`,
      },
      { name: 'Curve', value: degreeWords(sense), note: sense.overrideReason ?? sense.degreeReason },
      {
        name: 'Coefficients of the counts over powers of N·m',
        value: sense.coefficients.map(String).join('; '),
      },
      {
        name: 'Zero after unloading',
        value: percentWords(sense.zeroReturnPercent),
        note: 'of the greatest deflection',
      },
      ...(sense.creepPercent === null ? [] : [{ name: 'Creep', value: percentWords(sense.creepPercent) }]),
      ...(sense.bendingPercent === null
        ? []
        : [{ name: 'Bending', value: percentWords(sense.bendingPercent) }]),
    ]),
    text(uncertaintySummary(sense, 'calibration', torque)),
    text(uncertaintySummary(sense, 'bench', torque)),
    text(shareSummary(sense, 'bench', torque)),
    run === null ? null : text(residualSummary(residualPoints(run, sense), torque)),
    stepsTable(sense, torque),
    last === undefined ? null : budgetTable(last, torque, torqueUnit),
  ]);
}

function stepsTable({ steps }: SenseResult, torque: ResultTorque) {
  const columns = [
    percentColumn(steps.map(({ interpolationPercent }) => interpolationPercent)),
    percentColumn(steps.map(({ repeatabilityPercent }) => repeatabilityPercent)),
    percentColumn(steps.map(({ reproducibilityPercent }) => reproducibilityPercent)),
    percentColumn(steps.map(({ reversibilityPercent }) => reversibilityPercent)),
  ] as const;
  const atCalibration = percentColumn(steps.map((step) => step.atCalibration.relativeExpandedPercent));
  const atBench = percentColumn(steps.map((step) => step.atBench.relativeExpandedPercent));
  return table(
    STEPS_CAPTION,
    [
      `>Torque, ${torque.unitLabel}`,
      '>Deflection, counts',
      '>Interpolation',
      '>Repeatability',
      '>Reproducibility',
      '>Reversibility',
      '>U at calibration',
      '>U at bench time',
    ],
    steps.map((step) => [
      torque.number(step.torqueNm),
      formatNumber(step.meanDeflectionCounts, 1),
      columns[0](step.interpolationPercent),
      columns[1](step.repeatabilityPercent),
      columns[2](step.reproducibilityPercent),
      columns[3](step.reversibilityPercent),
      atCalibration(step.atCalibration.relativeExpandedPercent),
      atBench(step.atBench.relativeExpandedPercent),
    ]),
  );
}

/** Of the highest step at bench time, where trials are read. */
function budgetTable(step: StepResult, torque: ResultTorque, unit: ReportContext['torqueUnit']) {
  const { atBench } = step;
  const inUnit = (torqueNm: number) => fromOwnUnit(torqueNm, unit);
  const decimals = Math.min(twoDigitDecimals([inUnit(atBench.standardNm)]) + 1, 6);
  const degrees = (value: number | null) => (value === null ? '∞' : formatNumber(value, 1));
  return table(
    `${budgetCaption(step, 'bench', torque)} Combined: u = ${formatNumber(inUnit(atBench.standardNm), decimals)}${THIN_SPACE}${unitLabel(unit)}, degrees of freedom ${degrees(atBench.effectiveDegreesOfFreedom)}, k = ${formatNumber(atBench.coverageFactor, 2)}, U = ${formatNumber(inUnit(atBench.expandedNm), decimals)}${THIN_SPACE}${unitLabel(unit)}`,
    [
      'Source',
      'Kind',
      'Type',
      '>Value',
      'Distribution',
      '>Divisor',
      `>u, ${unitLabel(unit)}`,
      '>Degrees of freedom',
      '>Share of u², %',
    ],
    budgetShares(step.terms, 'bench').map(({ term, sharePercent }) => [
      term.source,
      term.kind,
      term.evaluation,
      `${String(Number(term.value.toPrecision(3)))} ${term.unit}`,
      distributionWords(term.distribution),
      formatNumber(term.divisor, 3),
      formatNumber(inUnit(term.standardUncertaintyNm), decimals),
      degrees(term.degreesOfFreedom),
      formatNumber(sharePercent, 1),
    ]),
  );
}

function standardsSection({ run, result }: CalibrationReport): ReportSection[] {
  if (run === null) return [];
  const { setup } = run;
  return [
    ...section('Standards used', [
      table(
        'Weights, as they were on the day',
        ['Name', 'Mass, tolerance, density', 'Certificate', 'Holds until'],
        weightsUsed(setup.levels).map((weight) => [
          weight.name,
          weightWords(weight),
          weight.certificate === '' ? 'none' : weight.certificate,
          weight.certificateValidUntil ?? 'no day named',
        ]),
      ),
      facts([
        {
          name: setup.shortArm === null ? 'Arm' : 'First arm',
          value: setup.arm.name,
          note: armWords(setup.arm),
        },
        ...(setup.shortArm === null
          ? []
          : [{ name: 'Second arm', value: setup.shortArm.name, note: armWords(setup.shortArm) }]),
        { name: 'Place', value: setup.site.name, note: siteWords(setup.site) },
        ...(result === null
          ? []
          : [
              { name: 'Gravity that was taken', value: formatQuantity(result.gravityMps2, 'mPerS2', 5) },
              {
                name: 'Air density that was taken',
                value: `${formatNumber(result.airDensityKgM3, 4)}${THIN_SPACE}kg/m³`,
              },
            ]),
      ]),
    ]),
    ...section('How it was done', [facts(procedureRows(setup))]),
    ...section('What was reckoned with at the bench', [facts(benchTermRows(setup))]),
  ];
}

function readingsSection(run: CalibrationRun, { torqueUnit, formatInstant }: ReportContext): ReportSection[] {
  const planned = new Map(run.readings.map((reading) => [reading.index, reading]));
  const taken = readingsInOrder(run);
  return section('All readings', [
    table(
      readingsCaption(run),
      [
        'Sense',
        'Stage',
        '>Mounting',
        `>${unitLabel(torqueUnit)}`,
        '>Counts',
        '>Deviation',
        'Taken',
        'Remarks',
      ],
      taken.map(({ reading, isReplaced }) => {
        const plan = planned.get(reading.index);
        return [
          plan?.sense ?? '–',
          plan === undefined ? '–' : stageWords[plan.stage],
          plan === undefined ? '–' : String(plan.mounting),
          plan === undefined ? '–' : formatNumber(fromOwnUnit(plan.torqueNm, torqueUnit), 2),
          formatNumber(reading.meanCounts, 1),
          formatNumber(reading.standardDeviationCounts, 1),
          formatInstant(reading.takenAt),
          readingRemarks(reading, isReplaced),
        ];
      }),
    ),
  ]);
}

function trailSection({ version, run }: CalibrationReport): ReportSection[] {
  const by = operatorWords(version.operator);
  return section('Who decided what, and when', [
    trail([
      ...(run === null ? [] : [{ at: run.startedAt, text: `Run begun (${operatorWords(run.operator)}).` }]),
      {
        at: version.createdAt,
        text: run === null ? `Entered (${by}).` : `Accepted as “${version.label}” (${by}).`,
      },
      ...(version.supersededAt === null
        ? []
        : [
            {
              at: version.supersededAt,
              text: `Superseded: ${version.supersedeReason ?? 'no reason stored'}`,
            },
          ]),
    ]),
  ]);
}
