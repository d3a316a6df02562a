import { assertNever } from '../../assert-never.ts';
import { formatDuration, formatNumber, formatRate, THIN_SPACE } from '../../format-quantity.ts';
import type { CalibrationVersion } from '../../calibration/calibration-model.ts';
import { versionUncertaintyWords } from '../../calibration/words/calibration-sentences.ts';
import type {
  FaultEvent,
  InterruptionReason,
  TrialDecision,
  TrialFigures,
  TrialRecord,
  TrialSummary,
} from '../trial-model.ts';

export function stateWords({ state, isVoided }: Pick<TrialSummary, 'state' | 'isVoided'>): string {
  if (isVoided) return 'Voided';
  switch (state) {
    case 'recording':
      return 'Recording';
    case 'reviewing':
      return 'To be decided';
    case 'kept':
      return 'Kept';
    case 'interrupted':
      return 'Interrupted';
    default:
      return assertNever(state, 'This trial state has no word');
  }
}

/** For the list, where one of both counts is above 0. */
export function undecidedSentence(reviewing: number, interrupted: number): string {
  const waiting = reviewing + interrupted;
  const isEveryInterrupted = reviewing === 0;
  const trials = `${formatNumber(waiting, 0)} ${isEveryInterrupted ? 'interrupted ' : ''}${waiting === 1 ? 'trial waits' : 'trials wait'}`;
  const share = isEveryInterrupted || interrupted === 0 ? '' : `, ${interrupted} of them interrupted`;
  return `${trials} for a decision${share}. Samples are stored; figures stay hidden until then.`;
}

/** Continues "Interrupted: ". */
export function interruptionWords(reason: InterruptionReason): string {
  switch (reason) {
    case 'operator':
      return 'stopped by the operator';
    case 'overload':
      return 'overload of transducer or rig';
    case 'disconnect':
      return 'the amplifier was lost';
    case 'wrongDirection':
      return 'torque in the wrong direction';
    case 'segmentBreak':
      return 'the amplifier started counting anew';
    case 'readerLost':
      return 'the process that reads the amplifier ended';
    case 'storageFailed':
      return 'writing to the disk failed';
    case 'programEnded':
      return 'the program ended';
    default:
      return assertNever(reason, 'This interruption has no words');
  }
}

/** A reason that the program gives begins with the decision itself ("Kept by itself: ..."), one by a person does not. */
export function decisionWords({ decision, figuresShown, reason }: TrialDecision): string {
  switch (decision) {
    case 'kept':
      return figuresShown ? `${reason} Its figures had been shown before.` : reason;
    case 'voided':
      return `Voided, ${figuresShown ? 'after' : 'before'} its figures were shown: ${reason}`;
    case 'restored':
      return `Void taken back: ${reason}`;
    case 'interrupted':
      return reason;
    default:
      return assertNever(decision, 'This decision has no words');
  }
}

/** Which calibration the figures are read by, and how sure that one is. */
export function readByWords(
  record: Pick<TrialRecord, 'assignments'>,
  calibration: CalibrationVersion | null,
): string {
  if (calibration === null) return 'The calibration they are read by is not in the list.';
  const how = record.assignments.length === 0 ? 'Read by' : 'Reassigned, read by';
  return `${how} “${calibration.label}”, uncertainty ${versionUncertaintyWords(calibration)}.`;
}

/** What can be decided about a trial now. */
export function possibleDecisions({
  state,
  isVoided,
}: Pick<TrialSummary, 'state' | 'isVoided'>): readonly ('keep' | 'void' | 'restore')[] {
  if (isVoided) return ['restore'];
  switch (state) {
    case 'recording':
      return [];
    case 'reviewing':
    case 'interrupted':
      return ['keep', 'void'];
    case 'kept':
      return ['void'];
    default:
      return assertNever(state, 'What can be decided in this state is not known');
  }
}

export interface FaultOnTimeLine {
  /** In the list and at its mark on the time line. */
  readonly number: number;
  readonly fault: FaultEvent;
  /** From onset; null where the fault is not tied to an instant of the record. */
  readonly timeS: number | null;
}

/** Numbered in the order of time; stored times count from the first slot, shown ones from onset. */
export function faultsOnTimeLine(faults: readonly FaultEvent[], recordStartS: number): FaultOnTimeLine[] {
  return faults
    .map((fault) => ({ fault, timeS: fault.atS === null ? null : fault.atS + recordStartS }))
    .toSorted((one, other) => (one.timeS ?? Infinity) - (other.timeS ?? Infinity))
    .map((entry, index) => ({ ...entry, number: index + 1 }));
}

/** The curve in words, for those who cannot see it and for those who want it at a glance. */
export function summariseTrial(record: TrialRecord, formatTorque: (torqueNm: number) => string): string {
  const { summary, figures, slotCount, lostSlots } = record;
  const { toolName, direction, plannedS } = summary.step;
  const parts = [
    `${toolName}, ${direction}, ${formatDuration(plannedS, plannedS % 1 === 0 ? 0 : 1)} planned.`,
  ];
  if (figures === null) parts.push(noFiguresSentence(summary.state));
  else {
    const { sustainedTorqueNm, finalTorqueNm, timeTo90PercentS, highestReadingNm, sampleRateHz } = figures;
    if ('value' in sustainedTorqueNm) {
      const rise =
        'value' in timeTo90PercentS
          ? `, ${formatNumber(90, 0)}${THIN_SPACE}% of it reached after ${formatDuration(timeTo90PercentS.value, 2)}`
          : '';
      parts.push(`It held ${formatTorque(sustainedTorqueNm.value)} for 250${THIN_SPACE}ms${rise}.`);
    }
    parts.push(...kindSentences(figures, formatTorque));
    if ('value' in finalTorqueNm) parts.push(`At the end ${formatTorque(finalTorqueNm.value)}.`);
    if ('value' in highestReadingNm) {
      parts.push(`Highest reading ${formatTorque(highestReadingNm.value)} at ${formatRate(sampleRateHz)}.`);
    }
  }
  if (lostSlots > 0) {
    parts.push(`${formatNumber(lostSlots, 0)} of ${formatNumber(slotCount, 0)} samples are missing.`);
  }
  return parts.join(' ');
}

/** What a trial of its kind is about, where the curve carries it. */
function kindSentences(
  { stallTorqueNm, breakaway, endurance }: TrialFigures,
  formatTorque: (torqueNm: number) => string,
): string[] {
  const sentences: string[] = [];
  if (stallTorqueNm !== null && 'value' in stallTorqueNm) {
    sentences.push(`Its stall torque is ${formatTorque(stallTorqueNm.value)}.`);
  }
  if (breakaway !== null && 'preloadNm' in breakaway) {
    const { preloadNm, releasedAtS } = breakaway;
    sentences.push(
      `A preload of ${formatTorque(preloadNm)} was ${releasedAtS === null ? 'not released' : `released after ${formatDuration(releasedAtS, 2)}`}.`,
    );
  }
  if (endurance !== null && 'fadePercent' in endurance) {
    sentences.push(
      `It faded by ${formatNumber(endurance.fadePercent, 1)}${THIN_SPACE}% over ${formatDuration(endurance.pulledS, 0)}.`,
    );
  }
  return sentences;
}

function noFiguresSentence(state: TrialSummary['state']): string {
  return state === 'reviewing' || state === 'interrupted'
    ? 'Its figures show once it has been kept, so that nobody picks results.'
    : 'It has no figures yet.';
}
