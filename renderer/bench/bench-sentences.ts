import { assertNever } from '../../shared-lib/assert-never.ts';
import type { AppError } from '../../shared-lib/app-error.ts';
import type { BenchStatus, Obstacle, TrialView } from '../../shared-lib/bench-status.ts';
import { formatNumber, THIN_SPACE } from '../../shared-lib/format-quantity.ts';
import type { Step } from '../../shared-lib/trial/step-model.ts';
import type { Quality } from '../../shared-lib/trial/trial-model.ts';
import type { LinkState } from '../api-client/link-state.ts';
import { hasOnlyUnreadableLines } from '../setup/amplifier-facts.ts';
import type { PressMeaning } from './press-rules.ts';

/** What the one primary control does next. `stop` takes a hold, everything else one press. */
export type PrimaryAction =
  | { readonly does: 'start'; readonly label: string }
  | { readonly does: 'stop'; readonly label: string }
  | { readonly does: 'keep'; readonly label: string; readonly trialId: string }
  | { readonly does: 'askVoidReason'; readonly label: string; readonly trialId: string }
  | { readonly does: 'takeZero'; readonly label: string }
  | { readonly does: 'showSafetyList'; readonly label: string }
  | { readonly does: 'showSenseCheck'; readonly label: string }
  | { readonly does: 'goTo'; readonly label: string; readonly address: '/setup' | '/calibrate' }
  | { readonly does: 'nothing'; readonly label: string };

/** Everything the Bench says about a status. `next` is short: it is read from three metres away. */
export interface BenchSentences {
  readonly next: string;
  readonly detail: string | null;
  /** `act`: the operator's hands are wanted now. */
  readonly tone: 'calm' | 'act' | 'caution' | 'fault';
  readonly primary: PrimaryAction;
  /** From the countdown until the run has been stored. */
  readonly isUnderWay: boolean;
}

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
      next: 'The program cannot work',
      detail: serviceProblem.message,
      tone: 'fault',
      primary: nothing('Not ready'),
      isUnderWay: false,
    };
  }
  if (status === null) {
    return {
      next: 'One moment',
      detail: 'Asking the program how the bench stands.',
      tone: 'calm',
      primary: nothing('Not ready'),
      isUnderWay: false,
    };
  }
  return describeTrial(status);
}

export function pressMeaning({ does }: PrimaryAction): PressMeaning {
  if (does === 'nothing') return 'none';
  return does === 'stop' ? 'hold' : 'press';
}

/** "Hollin H5, forward, 5 s" */
export function describeStep({ toolName, direction, plannedS }: Step): string {
  const decimals = Number.isInteger(plannedS) ? 0 : 1;
  return `${toolName}, ${direction}, ${formatNumber(plannedS, decimals)}${THIN_SPACE}s`;
}

export const qualityWords: Readonly<Record<Quality['verdict'], string>> = {
  good: 'Good',
  look: 'Needs a look',
  notUsable: 'Not usable',
};

function describeLink(linkState: LinkState): BenchSentences | null {
  const silent = { primary: nothing('Not ready'), isUnderWay: false } as const;
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
          'This page belongs to an earlier start of the program. Nothing is lost: use the window or the address of this start.',
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
      return underWay('Get ready', `${describeStep(trial.step)}. Wait for the go.`, 'Hold to cancel', 'calm');
    case 'waiting':
      return underWay(
        'Pull the trigger',
        'Recording begins by itself when the torque rises.',
        'Hold to cancel',
        'act',
      );
    case 'run':
      return underWay('Keep pulling', describeStep(trial.step), 'Hold to stop recording', 'calm');
    case 'tail':
      return underWay(
        'Release the trigger',
        'The run is over; one more second is recorded.',
        'Hold to stop recording',
        'act',
      );
    case 'unloading':
      return underWay('Take the load off', trial.prompt, 'Hold to go on without the zero check', 'act');
    case 'saving':
      return {
        next: 'Saving',
        detail: describeStep(trial.step),
        tone: 'calm',
        primary: nothing('Saving'),
        isUnderWay: true,
      };
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

function underWay(
  next: string,
  detail: string,
  stopLabel: string,
  tone: BenchSentences['tone'],
): BenchSentences {
  return { next, detail, tone, primary: { does: 'stop', label: stopLabel }, isUnderWay: true };
}

function describeIdle(status: BenchStatus, lastProblem: string | null): BenchSentences {
  const start = nextStart(status, null);
  if (lastProblem === null || start.tone !== 'calm' || status.obstacles.length > 0) return start;
  return { ...start, detail: lastProblem, tone: 'caution' };
}

function describeReview({ trialId, quality }: Extract<TrialView, { phase: 'reviewing' }>): BenchSentences {
  const isUsable = quality.verdict !== 'notUsable';
  return {
    next: isUsable ? 'Keep it or void it?' : 'Not usable: void it?',
    detail: 'The figures stay hidden until you have decided, so that nobody picks results.',
    tone: 'caution',
    primary: isUsable
      ? { does: 'keep', label: 'Keep this trial', trialId }
      : { does: 'askVoidReason', label: 'Void this trial', trialId },
    isUnderWay: false,
  };
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
  const isUnderWay = false;
  const obstacle = status.obstacles[0];
  const isRepeat = lastStep !== null && describeStep(lastStep) === describeStep(status.step);
  const start: PrimaryAction = { does: 'start', label: isRepeat ? 'Repeat' : 'Start' };
  const alarm = describeAlarm(status);
  if (alarm !== null) {
    // Where nothing stands in the way the services may be asked: a disk with room again shows by a trial that is stored.
    const primary = obstacle === undefined ? start : remedyOf(obstacle);
    // The operator is on the way to the plug: a press that comes too early must not lead away from the Bench.
    const isWaiting = status.amplifier.link === 'reconnecting' && primary.does === 'goTo';
    return { ...alarm, tone: 'fault', primary: isWaiting ? nothing('Waiting') : primary, isUnderWay };
  }
  if (obstacle !== undefined) {
    return {
      next: obstacleTitles[obstacle.remedy],
      detail: obstacle.sentence,
      tone: obstacle.remedy === 'none' ? 'caution' : 'calm',
      primary: remedyOf(obstacle),
      isUnderWay,
    };
  }
  return {
    next: describeStep(status.step),
    detail: 'One press starts it: three counts, then pull.',
    tone: 'calm',
    primary: start,
    isUnderWay,
  };
}

function describeAlarm({ storage, amplifier }: BenchStatus): { next: string; detail: string } | null {
  if (storage.state === 'failing') {
    return {
      next: 'Storage fails',
      detail: storage.sentence ?? 'New samples cannot be written; what was stored before is safe.',
    };
  }
  if (amplifier.problem === null) return null;
  const isUnreadable = amplifier.link === 'silent' && hasOnlyUnreadableLines(amplifier);
  return {
    next: isUnreadable ? 'Lines not understood' : alarmTitles[amplifier.link],
    detail: amplifier.problem.sentence,
  };
}

const alarmTitles: Readonly<Record<BenchStatus['amplifier']['link'], string>> = {
  disconnected: 'Amplifier not connected',
  connecting: 'Amplifier not ready',
  connected: 'Check the amplifier',
  silent: 'Amplifier silent',
  reconnecting: 'Amplifier lost',
  failed: 'Amplifier failed',
};

const obstacleTitles: Readonly<Record<Obstacle['remedy'], string>> = {
  setup: 'Finish the setup',
  calibrate: 'Not calibrated yet',
  zero: 'Take a zero',
  safety: 'First the safety list',
  sense: 'Which way is clockwise?',
  none: 'Not ready yet',
};

function remedyOf({ remedy }: Obstacle): PrimaryAction {
  switch (remedy) {
    case 'setup':
      return { does: 'goTo', label: 'Go to Setup', address: '/setup' };
    case 'calibrate':
      return { does: 'goTo', label: 'Make a calibration', address: '/calibrate' };
    case 'zero':
      return { does: 'takeZero', label: 'Take zero' };
    case 'safety':
      return { does: 'showSafetyList', label: 'Open the safety list' };
    case 'sense':
      return { does: 'showSenseCheck', label: 'Check the sense' };
    case 'none':
      return nothing('Not ready');
    default:
      return assertNever(remedy, 'An obstacle without a remedy');
  }
}

function nothing(label: string): PrimaryAction {
  return { does: 'nothing', label };
}
