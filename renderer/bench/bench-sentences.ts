import { assertNever } from '../../shared-lib/assert-never.ts';
import type { AppError } from '../../shared-lib/app-error.ts';
import type { BenchStatus, TrialView } from '../../shared-lib/bench-status.ts';
import type { SheetOnBench } from '../../shared-lib/run-sheet/run-sheet-model.ts';
import type { Step } from '../../shared-lib/trial/step-model.ts';
import type { LinkState } from '../api-client/link-state.ts';
import { describeFault, describeHindrance } from './obstacle-sentences.ts';
import { describeUnderWay } from './phase-sentences.ts';
import { type BenchSentences, nothing, type PrimaryAction } from './primary-action.ts';
import { describeSheet, startOf } from './sheet-sentences.ts';
import { beforeStart, describeStep } from './step-words.ts';
import { asksStopCause } from '../../shared-lib/trial/words/stop-causes.ts';

export const CANNOT_STOP_TOOL = 'The program cannot stop the tool: release the trigger.';
export const STATIC_CALIBRATION = 'Static calibration; dynamic error not included.';

export function describeBench(
  status: BenchStatus | null,
  linkState: LinkState,
  serviceProblem: AppError | null,
): BenchSentences {
  const linkSentences = describeLink(linkState);
  if (linkSentences !== null) return linkSentences;
  if (serviceProblem !== null && status === null) {
    return {
      ...silent,
      next: 'The program cannot work',
      detail: serviceProblem.message,
      tone: 'fault',
    };
  }
  if (status === null) {
    return {
      ...silent,
      next: 'One moment',
      detail: 'Asking the program how the bench stands.',
      tone: 'calm',
    };
  }
  return describeTrial(status);
}

const silent = { mark: null, primary: nothing('Not ready'), isUnderWay: false } as const;

function describeLink(linkState: LinkState): BenchSentences | null {
  switch (linkState) {
    case 'open':
      return null;
    case 'connecting':
      return { ...silent, next: 'One moment', detail: 'Reaching the program.', tone: 'calm' };
    case 'lost':
      return {
        ...silent,
        next: 'No connection',
        detail:
          'The program is not reached; what is stored is safe. If it still runs, this page comes back by itself. If it has ended, start it again.',
        tone: 'fault',
      };
    case 'refused':
      return {
        ...silent,
        next: 'Page out of date',
        detail:
          'This page belongs to an earlier start of the program, or its address was used before. Nothing is lost: use the window or the address of this start.',
        tone: 'fault',
      };
    default:
      return assertNever(linkState, 'A link state without a sentence');
  }
}

function describeTrial(status: BenchStatus): BenchSentences {
  const { trial } = status;
  switch (trial.phase) {
    case 'idle':
      return describeIdle(status, trial.lastProblem);
    case 'countdown':
    case 'waiting':
    case 'run':
    case 'tail':
    case 'unloading':
    case 'saving':
      return describeUnderWay(trial, status.runSheet);
    case 'reviewing':
      return describeReview(trial);
    case 'kept':
      return nextStart(status, trial.step);
    case 'interrupted':
      return describeInterrupted(status, trial);
    default:
      return assertNever(trial, 'A trial phase without a sentence');
  }
}

function describeIdle(status: BenchStatus, lastProblem: string | null): BenchSentences {
  const start = nextStart(status, null);
  if (lastProblem === null || start.tone !== 'calm' || status.obstacles.length > 0) return start;
  return { ...start, detail: lastProblem, tone: 'caution' };
}

function describeReview(trial: Extract<TrialView, { phase: 'reviewing' }>): BenchSentences {
  const { trialId, quality } = trial;
  const rest = { mark: null, tone: 'caution', isUnderWay: false } as const;
  const detail = 'The figures stay hidden until you have decided, so that nobody picks results.';
  if (quality.verdict === 'notUsable') {
    const primary: PrimaryAction = { does: 'askVoidReason', label: 'Void this trial', trialId };
    return { ...rest, next: 'Not usable: void it?', detail, primary };
  }
  // Only who held the tool knows; a press that goes on would be a guess stored as knowledge.
  if (asksStopCause(quality)) {
    return { ...rest, next: 'What ended it?', detail, primary: nothing('Say what ended it') };
  }
  const primary: PrimaryAction = { does: 'keep', label: 'Keep this trial', trialId };
  return { ...rest, next: 'Keep it or void it?', detail, primary };
}

function describeInterrupted(
  status: BenchStatus,
  trial: Extract<TrialView, { phase: 'interrupted' }>,
): BenchSentences {
  const start = nextStart(status, trial.step);
  return {
    ...start,
    next: start.tone === 'calm' ? 'Interrupted' : start.next,
    detail: trial.sentence,
    tone: start.tone === 'calm' ? 'caution' : start.tone,
  };
}

/** What stands between now and the next trial, or that nothing does. `lastStep` is the step of the trial in sight. */
function nextStart(status: BenchStatus, lastStep: Step | null): BenchSentences {
  const { runSheet, step } = status;
  if (runSheet !== null) return nextOfSheet(status, runSheet);
  const isRepeat = lastStep !== null && describeStep(lastStep) === describeStep(step);
  const start: PrimaryAction = { does: 'start', label: isRepeat ? 'Repeat' : 'Start', entryId: null };
  return (
    describeHindrance(status, start) ?? {
      next: describeStep(step),
      detail: beforeStart(step) ?? 'One press starts it: three counts, then pull.',
      mark: null,
      tone: 'calm',
      primary: start,
      isUnderWay: false,
    }
  );
}

function nextOfSheet(status: BenchStatus, runSheet: SheetOnBench): BenchSentences {
  const next: BenchSentences = { ...describeSheet(runSheet), tone: 'calm', isUnderWay: false };
  const { current, isSetupInHand } = runSheet;
  // A day can be ended whatever the bench is like.
  if (current === null) return next;
  // A setup can be taken up while something is still to be put right, but not past an alarm.
  const hindrance = isSetupInHand
    ? describeHindrance(status, startOf(current))
    : describeFault(status, next.primary);
  return hindrance ?? next;
}
