import { assertNever } from '../../../shared-lib/assert-never.ts';
import { hangingReading } from '../../../shared-lib/calibration/plan-run.ts';
import { loadOf } from '../../../shared-lib/calibration/run-instructions.ts';
import type {
  CalibrationRun,
  PlannedReading,
  RunProgress,
  TakenReading,
} from '../../../shared-lib/calibration/run-model.ts';
import type { Weight } from '../../../shared-lib/calibration/standards-model.ts';
import { formatDuration, formatNumber } from '../../../shared-lib/format-quantity.ts';
import { formatSignificant } from '../../../shared-lib/format-significant.ts';
import type { StateShapeName } from '../../ui/StateShape.tsx';

export interface PhaseWords {
  /** Large, read while standing at the arm. */
  readonly word: string;
  readonly detail: string;
  readonly shape: StateShapeName;
}

/** How the reading that is asked for stands. */
export function phaseWords(progress: RunProgress | null): PhaseWords {
  if (progress === null) return { word: 'Looking', detail: 'Waiting for the first samples.', shape: 'off' };
  switch (progress.phase) {
    case 'noSignal':
      return {
        word: 'No signal',
        detail: 'No samples come in. What was taken is safe; the run goes on when they do.',
        shape: 'fault',
      };
    case 'waitingForHands':
      return { word: 'Your hands', detail: 'Say when it is done.', shape: 'information' };
    case 'unchanged':
      return { word: 'Load as before', detail: 'Waiting for the load to change.', shape: 'off' };
    case 'moving':
      return { word: 'Moving', detail: 'Wait until nothing swings.', shape: 'live' };
    case 'settling':
      return { word: 'Settling', detail: `${secondsLeft(progress)} more of stillness.`, shape: 'live' };
    case 'steady':
      return { word: 'Steady', detail: 'It is taken by itself.', shape: 'good' };
    case 'held':
      return {
        word: 'Steady, but look',
        detail: 'It is not taken by itself: something is wrong with it.',
        shape: 'caution',
      };
    default:
      return assertNever(progress.phase, 'This phase has no words');
  }
}

function secondsLeft({ heldS, dwellS }: RunProgress): string {
  return formatDuration(Math.max(0, Math.ceil(dwellS - heldS)), 0);
}

/** How much of the dwell has passed, 0 to 1. */
export function dwellShare(progress: RunProgress | null): number {
  if (progress === null || !(progress.dwellS > 0)) return 0;
  return Math.min(Math.max(progress.heldS / progress.dwellS, 0), 1);
}

/** What one press does now. */
export type PrimaryAction = 'resume' | 'confirm' | 'take' | 'takeAnyway' | 'none';

export function primaryAction(
  run: Pick<CalibrationRun, 'state' | 'nextIndex'>,
  progress: RunProgress | null,
): PrimaryAction {
  if (run.state === 'paused') return 'resume';
  // What was told of the reading before says nothing of this one.
  if (run.state !== 'running' || run.nextIndex === null || progress?.index !== run.nextIndex) return 'none';
  switch (progress.phase) {
    case 'noSignal':
      return 'none';
    case 'waitingForHands':
      return 'confirm';
    case 'held':
      return 'takeAnyway';
    case 'unchanged':
    case 'moving':
    case 'settling':
    case 'steady':
      return 'take';
    default:
      return assertNever(progress.phase, 'This phase has no action');
  }
}

export const primaryLabels: Readonly<Record<PrimaryAction, string>> = {
  resume: 'Go on',
  confirm: 'Done, go on',
  take: 'Take it now',
  takeAnyway: 'Take it anyway',
  none: 'Take it now',
};

/** "Reading 9 of 31". */
export function progressWords({
  readings,
  nextIndex,
}: Pick<CalibrationRun, 'readings' | 'nextIndex'>): string {
  return nextIndex === null
    ? `All ${readings.length} readings taken`
    : `Reading ${nextIndex + 1} of ${readings.length}`;
}

export function stageWords(
  { stage, level, series }: Pick<PlannedReading, 'stage' | 'level' | 'series'>,
  torqueWords: string,
): string {
  switch (stage) {
    case 'warmUp':
      return 'Warm-up';
    case 'exercise':
      return level === 0 ? 'At rest before an exercise' : 'Exercise to the highest load';
    case 'zeroBefore':
      return `Zero before series ${series}`;
    case 'zeroAfter':
      return `Zero after series ${series}`;
    case 'increasing':
      return `Rising, level ${level}: ${torqueWords}`;
    case 'decreasing':
      return `Falling, level ${level}: ${torqueWords}`;
    case 'creep30':
      return 'Creep after 30 s';
    case 'creep300':
      return 'Creep after 300 s';
    case 'bending':
      return `Bending, level ${level}`;
    default:
      return assertNever(stage, 'This stage has no words');
  }
}

export interface HungWeight {
  readonly weight: Weight;
  /** `stays` hangs since before, `on` comes on now, `off` goes off now. */
  readonly change: 'stays' | 'on' | 'off';
}

/** What is to hang at the reading that is asked for, against what hangs now as far as the readings tell. */
export function hungWeights(run: CalibrationRun): HungWeight[] {
  const asked = run.nextIndex === null ? undefined : run.readings[run.nextIndex];
  if (asked === undefined) return [];
  const newest = hangingReading(run);
  // A remounting begins with everything taken off.
  const isSameMounting = newest?.sense === asked.sense && newest.mounting === asked.mounting;
  const hanging = isSameMounting ? loadOf(run.setup, newest) : [];
  const wanted = loadOf(run.setup, asked);
  const hangingIds = new Set(hanging.map(({ id }) => id));
  const wantedIds = new Set(wanted.map(({ id }) => id));
  return [
    ...wanted.map((weight): HungWeight => ({ weight, change: hangingIds.has(weight.id) ? 'stays' : 'on' })),
    ...hanging
      .filter(({ id }) => !wantedIds.has(id))
      .map((weight): HungWeight => ({ weight, change: 'off' })),
  ];
}

/** The drawing in a sentence, for those who do not see it. */
export function hungWords(hung: readonly HungWeight[], sense: string, armName: string): string {
  const names = (change: HungWeight['change']) =>
    hung.filter((one) => one.change === change).map(({ weight }) => weight.name);
  const hanging = [...names('stays'), ...names('on')];
  const total = hung
    .filter(({ change }) => change !== 'off')
    .reduce((sum, { weight }) => sum + weight.massKg, 0);
  const what =
    hanging.length === 0
      ? 'nothing hangs from it'
      : `${hanging.join(', ')} ${hanging.length === 1 ? 'hangs' : 'hang'} from it, ${formatSignificant(total, 'kg')} in all`;
  const on = names('on').length === 0 ? '' : ` Put on: ${names('on').join(', ')}.`;
  const off = names('off').length === 0 ? '' : ` Take off: ${names('off').join(', ')}.`;
  return `${armName}, loaded ${sense}: ${what}.${on}${off}`;
}

/** How a reading came in, for its row. */
export function takenWords({ by, flags }: Pick<TakenReading, 'by' | 'flags'>): string {
  const how = by === 'steady' ? 'by itself' : 'by key';
  return flags.length === 0 ? how : `${how}. ${flags.map(({ sentence }) => sentence).join(' ')}`;
}

/** Spread and drift of the newest samples, small beside the meter. */
export function steadinessFigures(progress: RunProgress | null): string {
  if (progress === null || progress.spreadCounts === null) return '';
  const drift =
    progress.driftCountsPerS === null ? '' : `, drift ${formatNumber(progress.driftCountsPerS, 1)} counts/s`;
  return `Spread ${formatNumber(progress.spreadCounts, 1)} counts${drift}`;
}

export const usualDiscardReasons = [
  'A weight slipped or swung into something',
  'Wrong weights or arm were entered',
  'The rig was moved or repaired',
] as const;
