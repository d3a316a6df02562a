import { distributionFunctions } from '../../shared-lib/calibration/distribution-functions.ts';
import { randomUUID } from 'node:crypto';
import { AppError } from '../../shared-lib/app-error.ts';
import type { CalibrationRun } from '../../shared-lib/calibration/run-model.ts';
import type { RunSurroundings } from '../../shared-lib/calibration/ask-reading.ts';
import { localDay } from '../platform/local-day.ts';
import { writing } from '../storage/database.ts';
import { retryWhenLocked } from '../storage/retry-when-locked.ts';
import {
  findOpenRun,
  getStoredRun,
  insertReading,
  insertRun,
  insertRunEvent,
  type RunEvent,
  type StoredRun,
} from '../storage/run-repository.ts';
import { acceptRun, resultOfStoredRun } from './accept-run.ts';
import type { CalibrationPart, CalibrationTools } from './calibration-tools.ts';
import { chainOfRun } from './chain-of-run.ts';
import { prepareRun } from './prepare-run.ts';
import { refuseChangedStandards } from './refuse-changed-standards.ts';
import {
  notStarted,
  obstacleToRun,
  plannedNext,
  refuseOtherMounting,
  requireOpen,
  type RunChain,
  torqueToHang,
} from './run-rules.ts';
import { createRunWatch, type ReadingOffer, type RunWatch } from './run-watch.ts';

export type RunPart = CalibrationPart<
  | 'previewRun'
  | 'startRun'
  | 'getRun'
  | 'confirmHandling'
  | 'takeReading'
  | 'redoReading'
  | 'pauseRun'
  | 'resumeRun'
  | 'discardRun'
  | 'evaluateRun'
  | 'acceptRun'
  | 'hangSimulatedWeights'
>;

/** Some five a second: enough for a meter, little for a window. */
const PROGRESS_INTERVAL_US = 200_000;

/**
 * Guided calibration runs. Each reading is on the disk before the next is asked for, so that a run goes on after a crash;
 * it is live only in the program that started or resumed it, as long as its amplifier is there.
 */
export function createRunPart(tools: CalibrationTools): RunPart {
  const { platform, database, settings, amplifier, bench, runClaim } = tools;
  let live: { readonly runId: string; readonly chain: RunChain; readonly watch: RunWatch } | null = null;
  let isStoring = false;
  let progressSentUs = -Infinity;
  const now = (): string => platform.clock.now().toISOString();
  const today = (): string => localDay(platform.clock.now());
  const operator = (): string => settings.current().operator;

  const view = ({ run }: StoredRun): CalibrationRun =>
    run.state === 'paused' && live?.runId === run.id ? { ...run, state: 'running' } : run;

  const openRun = (): CalibrationRun | null => {
    const stored = findOpenRun(database, bench.activeTransducer().id);
    return stored === null ? null : view(stored);
  };

  const prepare = (setup: CalibrationRun['setup']) => {
    const { capacityNm, rigLimitNm } = bench.activeTransducer();
    return prepareRun(setup, { today: today(), capacityNm, rigLimitNm });
  };

  const surroundings = (run: CalibrationRun): RunSurroundings => ({
    ...chainOfRun(database, run),
    converterBits: amplifier.target()?.profile.converterBits ?? 24,
  });

  const follow = (stored: StoredRun) => ({
    run: stored.run,
    isHandled:
      plannedNext(stored.run)?.handling == null || stored.handledIndices.includes(stored.run.nextIndex ?? -1),
    surroundings: surroundings(stored.run),
  });

  const leave = (): void => {
    live = null;
    runClaim.release();
  };

  /** The run has changed in the database: the watch follows, and every window hears of it. */
  const changed = (runId: string): CalibrationRun => {
    const stored = getStoredRun(database, runId);
    if (live?.runId === runId) {
      if (stored.run.state === 'paused') live.watch.follow(follow(stored));
      else leave();
    }
    // Another transducer may be on the bench by now: windows show the run of that one.
    tools.emit('calibrationRunChanged', { run: openRun() });
    tools.statusChanged();
    return view(stored);
  };

  const goLive = (runId: string): void => {
    const { measuredRateHz, nominalRateHz } = amplifier.status();
    const rateHz = measuredRateHz ?? nominalRateHz ?? 1;
    const stored = getStoredRun(database, runId);
    live = { runId, chain: stored.run, watch: createRunWatch(rateHz, follow(stored)) };
    runClaim.hold();
  };

  const pause = (): void => {
    const paused = live;
    if (paused === null) return;
    leave();
    try {
      changed(paused.runId);
    } catch (cause) {
      // Nobody asked for it; the next look at the run tells.
      if (!(cause instanceof AppError)) throw cause;
      platform.log.error('That a run was paused could not be told', { code: cause.code, cause });
    }
  };

  const obstacleTo = (chain: RunChain): AppError | null =>
    obstacleToRun(chain, amplifier.status(), bench.activeTransducer().id);

  const requireLive = (runId: string): { readonly stored: StoredRun; readonly watch: RunWatch } => {
    const stored = requireOpen(getStoredRun(database, runId));
    if (live?.runId === runId) return { stored, watch: live.watch };
    throw new AppError(
      'invalid-state',
      stored.run.state === 'complete'
        ? 'All readings of this run are taken. Nothing was changed; take one again, or accept the result.'
        : 'This run is paused. Nothing was changed; go on with it first.',
      { runId },
    );
  };

  /** A press that was meant for a reading which took itself meanwhile has nothing left to do. Errors: those of `requireLive`. */
  const askedOrTaken = (
    runId: string,
    index: number,
  ): { readonly stored: StoredRun; readonly watch: RunWatch } | { readonly taken: CalibrationRun } => {
    const stored = requireOpen(getStoredRun(database, runId));
    const { run } = stored;
    if (run.nextIndex !== index && run.taken.some((reading) => reading.index === index)) {
      return { taken: view(stored) };
    }
    const asked = requireLive(runId);
    if (run.nextIndex === index) return asked;
    throw new AppError(
      'invalid-state',
      'The run asks for another reading than the one that was shown. Nothing was changed; look at what it asks for now.',
      { index },
    );
  };

  const addEvent = (runId: string, event: Omit<RunEvent, 'operator' | 'at'>): void => {
    insertRunEvent(database, runId, { ...event, operator: operator(), at: now() });
  };

  const store = (
    runId: string,
    { index, window, flags }: ReadingOffer,
    by: 'steady' | 'key',
  ): CalibrationRun => {
    writing(database, () => {
      // Taken by itself while the key was pressed: once is enough.
      if (getStoredRun(database, runId).run.nextIndex !== index) return;
      insertReading(database, runId, {
        index,
        meanCounts: window.meanCounts,
        standardDeviationCounts: window.standardDeviationCounts,
        spreadCounts: window.spreadCounts,
        driftCountsPerS: window.driftCountsPerS,
        sampleCount: window.sampleCount,
        durationS: window.durationS,
        takenAt: now(),
        by,
        flags: [...flags],
      });
    });
    return changed(runId);
  };

  /** Nobody asked for it, so nobody hears of a failure but through the progress; the load still hangs. */
  const storeSteady = (runId: string, watch: RunWatch, offer: ReadingOffer): void => {
    const failed = (cause: unknown): void => {
      if (!(cause instanceof AppError)) throw cause;
      platform.log.error('A steady reading could not be stored', { code: cause.code, cause });
      watch.notStored(`${cause.message} The reading is taken once more as soon as it is steady again.`);
    };
    const done = (): void => {
      isStoring = false;
    };
    isStoring = true;
    try {
      void Promise.resolve(retryWhenLocked(() => store(runId, offer, 'steady')))
        .catch(failed)
        .finally(done);
    } catch (cause) {
      done();
      failed(cause);
    }
  };

  const sendProgress = (nowUs: number): void => {
    if (live === null) return;
    progressSentUs = nowUs;
    tools.emit('calibrationProgress', live.watch.progress(nowUs));
  };

  return {
    handlers: {
      previewRun: ({ setup }) => prepare(setup),

      startRun: ({ setup }) =>
        retryWhenLocked(() => {
          bench.refuseWhileBusy('Starting a calibration run');
          const { levels, arm, shortArm, site } = setup;
          const arms = shortArm === null ? [arm] : [arm, shortArm];
          refuseChangedStandards(
            database,
            { weights: levels.flat(), arms, sites: [site] },
            'No run was started.',
          );
          const { readings, findings } = prepare(setup);
          const stop = findings.find(({ severity }) => severity === 'stop');
          if (stop !== undefined) {
            throw new AppError('invalid-state', `${stop.sentence} No run was started.`, {
              finding: stop.code,
            });
          }
          const transducer = bench.activeTransducer();
          const run = {
            id: randomUUID(),
            transducerId: transducer.id,
            amplifierId: amplifier.status().amplifierId,
            isSimulated: transducer.isSimulated,
            setup,
            readings,
            operator: operator(),
            startedAt: now(),
          };
          const obstacle = obstacleTo(run);
          if (obstacle !== null) throw notStarted(obstacle);
          insertRun(database, run);
          goLive(run.id);
          return changed(run.id);
        }),

      getRun: () => ({ run: openRun() }),

      confirmHandling: ({ runId, index }) =>
        retryWhenLocked(() => {
          const asked = askedOrTaken(runId, index);
          if ('taken' in asked) return asked.taken;
          const { stored } = asked;
          const planned = plannedNext(stored.run);
          if (planned?.handling == null || stored.handledIndices.includes(planned.index)) {
            throw new AppError(
              'invalid-state',
              'Nothing has to be confirmed by hand now. Nothing was changed.',
            );
          }
          addEvent(runId, { kind: 'handled', readingIndex: planned.index, reason: planned.handling });
          return changed(runId);
        }),

      takeReading({ runId, index }) {
        const asked = askedOrTaken(runId, index);
        if ('taken' in asked) return asked.taken;
        const offer = asked.watch.takeNow();
        return retryWhenLocked(() => store(runId, offer, 'key'));
      },

      redoReading: ({ runId, index }) =>
        retryWhenLocked(() => {
          const stored = requireOpen(getStoredRun(database, runId));
          const { run } = stored;
          const taken = run.taken.find((reading) => reading.index === index);
          if (taken === undefined) {
            throw new AppError('invalid-state', 'That reading was not taken yet. Nothing was changed.', {
              index,
            });
          }
          refuseOtherMounting(stored, index);
          addEvent(runId, { kind: 'withdrawn', readingIndex: index, readingId: taken.id, reason: '' });
          if (run.state === 'complete' && obstacleTo(run) === null && !bench.isTrialUnderWay()) goLive(runId);
          return changed(runId);
        }),

      pauseRun({ runId }) {
        const stored = requireOpen(getStoredRun(database, runId));
        if (live?.runId === runId) pause();
        return view(stored);
      },

      resumeRun: ({ runId }) =>
        retryWhenLocked(() => {
          const stored = requireOpen(getStoredRun(database, runId));
          if (live?.runId === runId) return view(stored);
          if (stored.run.state === 'complete') requireLive(runId);
          bench.refuseWhileBusy('Going on with the run');
          const obstacle = obstacleTo(stored.run);
          if (obstacle !== null) throw obstacle;
          addEvent(runId, { kind: 'resumed', reason: '' });
          goLive(runId);
          return changed(runId);
        }),

      discardRun: ({ runId, reason }) =>
        retryWhenLocked(() => {
          requireOpen(getStoredRun(database, runId));
          addEvent(runId, { kind: 'discarded', reason });
          changed(runId);
          return {};
        }),

      evaluateRun: ({ runId, overrides }) =>
        resultOfStoredRun(database, getStoredRun(database, runId).run, overrides, distributionFunctions),

      acceptRun: (request) =>
        retryWhenLocked(() => {
          bench.refuseWhileBusy('Making a calibration');
          const version = acceptRun(database, request, {
            distributions: distributionFunctions,
            operator: operator(),
            now: now(),
            today: today(),
          });
          tools.calibrationInUse.changed();
          bench.reloadTransducer();
          tools.emit('calibrationsChanged', {});
          changed(request.runId);
          return version;
        }),

      hangSimulatedWeights({ runId, level }) {
        const { run } = requireOpen(getStoredRun(database, runId));
        const { source, link } = amplifier.status();
        if (source !== 'simulated' || link !== 'connected' || obstacleTo(run) !== null) {
          throw new AppError(
            'invalid-state',
            'Weights are hung by the program on the simulated bench only. Nothing was changed; hang them by hand.',
          );
        }
        amplifier.hang(torqueToHang(run, level));
        return {};
      },
    },

    receive({ block }) {
      if (live === null) return;
      const { runId, watch } = live;
      const nowUs = platform.clock.monotonicUs();
      const offer = watch.receive(block, nowUs);
      if (offer === null || isStoring) return;
      sendProgress(nowUs);
      storeSteady(runId, watch, offer);
    },

    amplifierLost: pause,

    tick() {
      if (live === null) return;
      const obstacle = obstacleTo(live.chain);
      const nowUs = platform.clock.monotonicUs();
      if (obstacle !== null && amplifier.status().link !== 'silent') pause();
      else if (nowUs - progressSentUs >= PROGRESS_INTERVAL_US) sendProgress(nowUs);
    },

    close: leave,
  };
}
