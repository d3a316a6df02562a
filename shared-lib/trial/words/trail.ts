import { formatNumber } from '../../format-quantity.ts';
import type { Annotation, Evaluation, Relabelling } from '../trial-trail.ts';
import type { TrialDecision, TrialRecord, TrialSummary } from '../trial-model.ts';
import { describeSetup } from '../../run-sheet/describe-entry.ts';
import { qualityWords } from './quality-words.ts';
import { stopCauses } from './stop-causes.ts';
import { decisionWords } from './trial-sentences.ts';

export interface TrailEntry {
  readonly at: string;
  /** Null: the program itself. */
  readonly operator: string | null;
  readonly what: 'Decision' | 'Name' | 'Calibration' | 'Note' | 'Figures';
  readonly sentence: string;
}

export interface TrailWords {
  readonly formatTorque: (torqueNm: number) => string;
  /** Null: it is not in the list of calibrations. */
  readonly calibrationLabel: (calibrationId: string) => string | null;
}

export type TrialTrail = Pick<
  TrialRecord,
  'decisions' | 'assignments' | 'annotations' | 'relabellings' | 'evaluations'
> & {
  readonly summary: Pick<TrialSummary, 'state'>;
  readonly conditions: Pick<TrialRecord['conditions'], 'setup'>;
};

/** All that became of a trial, oldest first; nothing is ever taken out. */
export function trailOf(trial: TrialTrail, words: TrailWords): TrailEntry[] {
  const { decisions, annotations, relabellings, evaluations } = trial;
  const entries: TrailEntry[] = [
    ...decisions.map(decisionEntry),
    ...assignmentEntries(trial),
    ...relabellings.map((relabelling, index) =>
      relabellingEntry(relabelling, relabellings[index - 1] ?? namedAtFirst(trial)),
    ),
    ...annotations.map((annotation, index) => annotationEntry(annotation, annotations[index - 1])),
    ...evaluations.map((evaluation, index) => evaluationEntry(evaluation, evaluations[index - 1], words)),
  ];
  // The sort is stable: what was stored at one instant stays in the order above, a decision before the figures it brought.
  return entries.toSorted((one, other) => one.at.localeCompare(other.at));
}

function decisionEntry(decision: TrialDecision): TrailEntry {
  const cause = stopCauses.find((known) => known.cause === decision.stopCause)?.label;
  return {
    at: decision.at,
    operator: decision.operator,
    what: 'Decision',
    sentence: `${decisionWords(decision)}${cause === undefined ? '' : ` It ended early: “${cause}”.`}`,
  };
}

function assignmentEntries({ assignments, summary }: TrialTrail): TrailEntry[] {
  const effect = summary.state === 'kept' ? 'Its figures were computed anew.' : 'Its figures follow it.';
  return assignments.map(({ at, operator, label, reason }) => ({
    at,
    operator,
    what: 'Calibration',
    sentence: `Reassigned to the calibration “${label}”: ${asSentence(reason)} ${effect}`,
  }));
}

type Named = Pick<Relabelling, 'toolName' | 'setup'>;

/** A trial outside of a run sheet has no copy of what it was called at first. */
function namedAtFirst({ conditions: { setup } }: TrialTrail): Named | null {
  return setup === null ? null : { toolName: setup.toolName, setup };
}

function relabellingEntry(relabelling: Relabelling, before: Named | null): TrailEntry {
  const { at, operator, reason } = relabelling;
  const was = before === null ? '' : `, “${nameOf(before)}” before`;
  return {
    at,
    operator,
    what: 'Name',
    sentence: `Put right to “${nameOf(relabelling)}”${was}: ${asSentence(reason)}`,
  };
}

function nameOf({ toolName, setup }: Named): string {
  return setup === null ? toolName : describeSetup(setup);
}

function annotationEntry(
  { at, operator, note, tags }: Annotation,
  before: Annotation | undefined,
): TrailEntry {
  const parts: string[] = [];
  if (note !== (before?.note ?? '')) parts.push(note === '' ? 'Note taken out.' : `Note: “${note}”`);
  if (tags.join('\n') !== (before?.tags ?? []).join('\n')) {
    parts.push(tags.length === 0 ? 'Tags taken out.' : `Tags: ${tags.join(', ')}.`);
  }
  return {
    at,
    operator,
    what: 'Note',
    sentence: parts.length === 0 ? 'Note and tags as before.' : parts.join(' '),
  };
}

function evaluationEntry(
  evaluation: Evaluation,
  before: Evaluation | undefined,
  { formatTorque, calibrationLabel }: TrailWords,
): TrailEntry {
  const { at, definitionVersion, calibrationId, verdict } = evaluation;
  const label = calibrationLabel(calibrationId);
  const by = label === null ? 'a calibration that is not in the list' : `“${label}”`;
  const torque = (torqueNm: number | null) => (torqueNm === null ? 'no figure' : formatTorque(torqueNm));
  const change = (name: string, key: 'sustainedTorqueNm' | 'finalTorqueNm') => {
    const now = torque(evaluation[key]);
    if (before === undefined) return `${name} ${now}`;
    const then = torque(before[key]);
    return then === now ? `${name} ${now} as before` : `${name} ${now}, ${then} before`;
  };
  const quality =
    before === undefined || before.verdict === verdict
      ? qualityWords[verdict].toLowerCase()
      : `${qualityWords[verdict].toLowerCase()}, ${qualityWords[before.verdict].toLowerCase()} before`;
  return {
    at,
    operator: null,
    what: 'Figures',
    sentence: `${before === undefined ? 'Measured' : 'Measured anew'} by definitions ${formatNumber(definitionVersion, 0)}, read by ${by}: ${change('sustained', 'sustainedTorqueNm')}; ${change('final', 'finalTorqueNm')}; quality ${quality}.`,
  };
}

function asSentence(reason: string): string {
  return `${reason}${/[.!?]$/.test(reason) ? '' : '.'}`;
}
