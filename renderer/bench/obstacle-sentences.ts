import { assertNever } from '../../shared-lib/assert-never.ts';
import type { BenchStatus, Obstacle } from '../../shared-lib/bench-status.ts';
import { hasOnlyUnreadableLines } from '../setup/amplifier-facts.ts';
import { type BenchSentences, nothing, type PrimaryAction } from './primary-action.ts';

const atRest = { mark: null, isUnderWay: false } as const;

/** What stands between now and the next trial, or null where nothing does; `start`: what a press would do then. */
export function describeHindrance(status: BenchStatus, start: PrimaryAction): BenchSentences | null {
  return describeFault(status, start) ?? describeObstacle(status);
}

/** What is broken, whatever is to be done next. */
export function describeFault(status: BenchStatus, start: PrimaryAction): BenchSentences | null {
  const alarm = describeAlarm(status);
  if (alarm === null) return null;
  const obstacle = firstObstacle(status);
  // Where nothing stands in the way the services may be asked: a disk with room again shows by a trial that is stored.
  const primary = obstacle === undefined ? start : remedyOf(obstacle);
  const isAwaited = primary.does === 'goTo' && isComingBack(status.amplifier);
  return { ...atRest, ...alarm, tone: 'fault', primary: isAwaited ? nothing('Waiting') : primary };
}

/**
 * The operator is on the way to the plug, or lines that came a moment ago are late: a press meant for the next pull must not
 * lead away from the Bench.
 */
function isComingBack({ link, counters }: BenchStatus['amplifier']): boolean {
  return link === 'reconnecting' || (link === 'silent' && counters.samples > 0);
}

function describeObstacle(status: BenchStatus): BenchSentences | null {
  const obstacle = firstObstacle(status);
  if (obstacle === undefined) return null;
  return {
    ...atRest,
    next: obstacleTitles[obstacle.remedy],
    detail: obstacle.sentence,
    tone: obstacle.remedy === 'none' ? 'caution' : 'calm',
    primary: remedyOf(obstacle),
  };
}

/** That a setup is to be taken up is the run sheet's to say: sheet-sentences.ts. */
type BenchObstacle = Omit<Obstacle, 'remedy'> & {
  readonly remedy: Exclude<Obstacle['remedy'], 'setupInHand'>;
};

function firstObstacle({ obstacles }: BenchStatus): BenchObstacle | undefined {
  for (const { remedy, ...obstacle } of obstacles) {
    if (remedy !== 'setupInHand') return { ...obstacle, remedy };
  }
  return undefined;
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

const obstacleTitles: Readonly<Record<BenchObstacle['remedy'], string>> = {
  setup: 'Finish the setup',
  calibrate: 'Not calibrated yet',
  zero: 'Take a zero',
  safety: 'First the safety list',
  sense: 'Which way is clockwise?',
  none: 'Not ready yet',
};

function remedyOf({ remedy }: BenchObstacle): PrimaryAction {
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
