import { AppError } from '../../shared-lib/app-error.ts';
import { askFor, checkAgainstRun, type RunSurroundings } from '../../shared-lib/calibration/ask-reading.ts';
import { checkHaste, checkWaiting } from '../../shared-lib/calibration/check-reading.ts';
import type {
  CalibrationRun,
  PlannedReading,
  ReadingFlag,
  RunProgress,
} from '../../shared-lib/calibration/run-model.ts';
import type { SteadyWindow } from '../../shared-lib/calibration/steady-window.ts';
import {
  createSteadinessWatch,
  type Steadiness,
  type SteadinessWatch,
} from '../../shared-lib/calibration/watch-steadiness.ts';
import type { SampleBlock } from '../../shared-lib/signal/sample-block.ts';

/** Without a sample for so long there is nothing to watch (ours; the amplifier's own silence takes as long or longer). */
const NO_SIGNAL_US = 500_000;

/** A run that is live, and what is asked of it now. */
export interface FollowedRun {
  readonly run: CalibrationRun;
  /** What has to be done by hand first was done, or there is nothing of the kind. */
  readonly isHandled: boolean;
  readonly surroundings: RunSurroundings;
}

export interface ReadingOffer {
  readonly index: number;
  readonly window: SteadyWindow;
  readonly flags: readonly ReadingFlag[];
}

export interface RunWatch {
  /** The run has moved on. */
  follow(followed: FollowedRun): void;
  /** Returns the reading that is steady and without remark, as soon as there is one. */
  receive(block: SampleBlock, nowUs: number): ReadingOffer | null;
  /**
   * The reading as it stands, with what is out of the ordinary about it.
   * Errors: AppError 'invalid-state' where something has to be done by hand first, 'not-steady' without any sample.
   */
  takeNow(): ReadingOffer;
  /** The reading could not be stored: it is waited for once more, and said why. */
  notStored(sentence: string): void;
  progress(nowUs: number): RunProgress;
}

/** Follows the live samples for one run, from the moment it is started or resumed. */
export function createRunWatch(sampleRateHz: number, first: FollowedRun): RunWatch {
  let followed = first;
  let planned: PlannedReading | null = null;
  let watch: SteadinessWatch | null = null;
  let watchedDwellS = 0;
  let state: Steadiness | null = null;
  let flags: readonly ReadingFlag[] = [];
  let trouble: ReadingFlag | null = null;
  let lastSampleUs: number | null = null;

  const follow = (next: FollowedRun): void => {
    followed = next;
    const { run } = next;
    planned = run.nextIndex === null ? null : (run.readings[run.nextIndex] ?? null);
    flags = [];
    trouble = null;
    state = null;
    if (planned === null) return;
    const { asked, dwellS } = askFor(run, planned, next.surroundings);
    // The warm-up has a dwell of its own.
    if (watch === null || watchedDwellS !== dwellS) {
      watch = createSteadinessWatch({ sampleRateHz, dwellS });
      watchedDwellS = dwellS;
    }
    watch.ask(asked);
  };

  const offer = (
    reading: PlannedReading,
    window: SteadyWindow,
    found: readonly ReadingFlag[],
  ): ReadingOffer => ({
    index: reading.index,
    window,
    flags: found,
  });

  const checkLoad = (reading: PlannedReading, window: SteadyWindow): ReadingFlag[] =>
    checkAgainstRun(followed.run, reading, window.meanCounts, followed.surroundings);

  const phase = (nowUs: number): RunProgress['phase'] => {
    if (lastSampleUs === null || nowUs - lastSampleUs > NO_SIGNAL_US) return 'noSignal';
    if (!followed.isHandled) return 'waitingForHands';
    if (state === null) return 'settling';
    return state.phase === 'steady' && flags.length > 0 ? 'held' : state.phase;
  };

  follow(first);

  return {
    follow,

    receive(block, nowUs) {
      lastSampleUs = nowUs;
      if (watch === null || planned === null) return null;
      watch.push(block);
      if (!followed.isHandled) return null;
      state = watch.state();
      const { window } = state;
      if (state.phase !== 'steady' || window === null) {
        flags = checkWaiting(state, planned);
        return null;
      }
      flags = checkLoad(planned, window);
      return flags.length === 0 ? offer(planned, window, []) : null;
    },

    takeNow() {
      if (planned === null || !followed.isHandled) {
        throw new AppError(
          'invalid-state',
          planned?.handling == null
            ? 'No reading is asked for, so none was taken.'
            : `First confirm what has to be done by hand: ${planned.handling} No reading was taken.`,
        );
      }
      const window = state?.window ?? null;
      if (state === null || window === null) {
        throw new AppError(
          'not-steady',
          'No sample has come since this reading was asked for, so none was taken. Wait a moment and press again.',
        );
      }
      return offer(planned, window, [
        ...checkHaste(state, planned),
        ...checkWaiting(state, planned),
        ...checkLoad(planned, window),
      ]);
    },

    notStored(sentence) {
      follow(followed);
      trouble = { code: 'not-stored', sentence };
    },

    progress(nowUs) {
      const present = phase(nowUs);
      const isWatching = present !== 'noSignal' && present !== 'waitingForHands';
      const window = isWatching ? (state?.window ?? null) : null;
      return {
        runId: followed.run.id,
        index: planned?.index ?? null,
        phase: present,
        meanCounts: window?.meanCounts ?? null,
        spreadCounts: window?.spreadCounts ?? null,
        driftCountsPerS: window?.driftCountsPerS ?? null,
        heldS: isWatching ? (state?.heldS ?? 0) : 0,
        dwellS: state?.dwellS ?? watchedDwellS,
        flags: [...(trouble === null ? [] : [trouble]), ...(isWatching ? flags : [])],
      };
    },
  };
}
