import { sentenceCase } from '../comparison/comparison-words.ts';
import { describeComparedStep } from '../comparison/measure-words.ts';
import type { ComparedStep } from '../comparison/trial-measure.ts';
import { THIN_SPACE } from '../format-quantity.ts';
import { describeSetup } from '../run-sheet/describe-entry.ts';
import type { SessionReport } from '../run-sheet/session-model.ts';
import { passesGate, verdictInStatistics } from '../run-sheet/setup-figures.ts';
import type { TrialSummary } from '../trial/trial-model.ts';
import type { CurveChart, MeansChart } from './chart-model.ts';
import { type Basis, basisNotes, likeForLikeNote, runsWords } from './chart-notes.ts';
import { MOST_CURVES } from './comparison-charts.ts';
import { shortLabels, withCommon } from './short-labels.ts';
import { curveColorIndex } from './tool-colour.ts';
import { CURVES_NOTE, type DrawnCurve } from './trial-chart.ts';

/** The step that most counting trials of a session have, and which these are; null: none counts. */
export interface SessionStep {
  readonly step: ComparedStep;
  /** In the order in which they were pulled. */
  readonly trials: readonly TrialSummary[];
  /** Other steps with trials that count. */
  readonly otherSteps: readonly ComparedStep[];
}

/** Of equally many the one that was pulled first. `hasMeans`: steps without a sustained torque are left out. */
export function mostPulledStep(
  trials: readonly TrialSummary[],
  gate: SessionReport['qualityGate'],
  hasMeans: boolean,
): SessionStep | null {
  const counting = trials.filter(
    (trial) =>
      trial.state === 'kept' &&
      !trial.isVoided &&
      trial.place?.role !== 'conditioning' &&
      passesGate(gate, verdictInStatistics(trial)) &&
      (!hasMeans || (trial.step.kind !== 'breakaway' && trial.sustainedTorqueNm !== null)),
  );
  const groups = [...Map.groupBy(counting, ({ step }) => stepKey(step)).values()];
  const most = groups.reduce<TrialSummary[]>(
    (best, group) => (group.length > best.length ? group : best),
    [],
  );
  const [first] = most;
  if (first === undefined) return null;
  return {
    step: first.step,
    trials: most,
    otherSteps: groups.flatMap((group) => (group === most || group[0] === undefined ? [] : [group[0].step])),
  };
}

/** Of each setup the newest runs, as many of each as a picture takes. */
export function drawnTrials({ trials }: SessionStep): TrialSummary[] {
  const byLabel = Map.groupBy(trials, labelOf);
  const most = Math.max(1, Math.floor(MOST_CURVES / byLabel.size));
  const drawn = new Set([...byLabel.values()].flatMap((group) => group.slice(-most)));
  return trials.filter((trial) => drawn.has(trial)).slice(0, MOST_CURVES);
}

export function curvesOfSession(
  report: SessionReport,
  found: SessionStep,
  curvesOf: ReadonlyMap<string, DrawnCurve>,
  basis: Basis,
): CurveChart {
  const short = shortLabels(found.trials.map(labelOf));
  const curves = drawnTrials(found).flatMap((trial) => {
    const curve = curvesOf.get(trial.id);
    return curve === undefined
      ? []
      : [{ ...curve, label: short.of(labelOf(trial)), colour: curveColorIndex(trial.step.toolName) }];
  });
  return {
    kind: 'curves',
    ...headingOf(report, found, basis),
    notes: [
      withCommon(nWords(report, found), short),
      ...basisNotes(basis, {
        reading: [
          ...(curves.length < found.trials.length
            ? [`The newest ${curves.length} of ${found.trials.length} runs are drawn.`]
            : []),
          ...otherStepsNote(found),
        ],
        cautions: [...likeForLikeNote(basis), CURVES_NOTE],
      }),
    ],
    curves,
    plannedS: found.step.plannedS,
    levels: [],
    checkpoints: [],
  };
}

/** Means of the sustained torque, as the report of the session has them. `found` null: there are none. */
export function meansOfSession(report: SessionReport, found: SessionStep | null, basis: Basis): MeansChart {
  const ofStep =
    found === null ? [] : report.setups.filter(({ step }) => stepKey(step) === stepKey(found.step));
  const short = shortLabels(ofStep.map(({ label }) => label));
  const rows = ofStep.flatMap(({ label, setupId, step, meanNm, lowNm, highNm }): MeansChart['rows'] => {
    if (meanNm === null) return [];
    const isReference = label.endsWith(', reference');
    const runs = (found?.trials ?? []).filter(
      (trial) =>
        (trial.setup?.setupId ?? null) === setupId &&
        trial.step.toolName === step.toolName &&
        (trial.place?.role === 'reference') === isReference,
    );
    return [
      {
        label: short.of(label),
        colour: curveColorIndex(step.toolName),
        mean: meanNm,
        low: lowNm,
        high: highNm,
        runs: runs.flatMap(({ sustainedTorqueNm }) => sustainedTorqueNm ?? []),
      },
    ];
  });
  const isOneBlock = ofStep.some((setup) => setup.isOneBlock);
  return {
    kind: 'means',
    ...headingOf(report, found, basis),
    notes: [
      ...(found === null
        ? ['No trial of this session has a sustained torque.']
        : [withCommon(nWords(report, found), short)]),
      ...basisNotes(basis, {
        reading: [
          `Bars: 95${THIN_SPACE}% interval of each mean by Student’s t.`,
          ...(found === null ? [] : otherStepsNote(found)),
        ],
        cautions: [
          ...(isOneBlock
            ? ['Repeats in one unbroken row are not independent: their interval is too narrow.']
            : []),
          ...likeForLikeNote(basis),
        ],
      }),
    ],
    quantity: 'torque',
    quantityWords: 'sustained torque',
    rows: rows.toSorted((one, other) => other.mean - one.mean).slice(0, 60),
    levels: [],
  };
}

function headingOf({ summary }: SessionReport, found: SessionStep | null, { dayOf }: Basis) {
  const by = summary.operator === '' ? '' : ` by ${summary.operator}`;
  return {
    title: `Session of ${dayOf(summary.startedAt)}`,
    subtitle: `${found === null ? 'No step' : sentenceCase(describeComparedStep(found.step))}; pulled${by} on ${summary.transducerName}`,
  };
}

function nWords({ summary, setups }: SessionReport, { trials }: SessionStep): string {
  const leftOut = setups.reduce((sum, { leftOutCount }) => sum + leftOutCount, 0);
  const setupCount = new Set(trials.map(labelOf)).size;
  return (
    [
      `n: ${runsWords(trials.length)} of ${setupCount === 1 ? '1 setup' : `${setupCount} setups`}`,
      ...(leftOut === 0 ? [] : [`${leftOut} of the session left out for their quality or a failed check`]),
      ...(summary.voidedCount === 0 ? [] : [`${summary.voidedCount} voided`]),
      ...(summary.interruptedCount === 0 ? [] : [`${summary.interruptedCount} interrupted`]),
    ].join(', ') + '.'
  );
}

function otherStepsNote({ otherSteps }: SessionStep): string[] {
  return otherSteps.length === 0
    ? []
    : [
        `Also pulled in this session, not in this picture: ${otherSteps.map(describeComparedStep).join(', ')}.`,
      ];
}

function labelOf({ setup, step, place }: TrialSummary): string {
  const label = setup === null ? step.toolName : describeSetup(setup);
  return place?.role === 'reference' ? `${label}, reference` : label;
}

function stepKey({ kind, direction, plannedS }: ComparedStep): string {
  return `${kind} ${direction} ${plannedS}`;
}
