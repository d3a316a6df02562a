import { join } from 'node:path';
import { readyMadeProfiles, type AmplifierSettings } from '../shared-lib/amplifier/amplifier-profile.ts';
import type { EventName, EventPayload } from '../shared-lib/api-contract.ts';
import { AppError } from '../shared-lib/app-error.ts';
import { createAcquisitionService } from './acquisition/acquisition-service.ts';
import { createAmplifierSession } from './amplifier/amplifier-session.ts';
import { createBenchService } from './bench/bench-service.ts';
import { createDiskWatch } from './bench/disk-watch.ts';
import { createSenseWatch } from './bench/sense-watch.ts';
import { SIMULATED_TOOL_NAME, simulatedPull } from './bench/simulated-bench-target.ts';
import { previewCalibration, saveCalibration } from './calibration/calibration-service.ts';
import type { Platform } from './platform/platform.ts';
import type { EventListener, RequestHandlers, Services } from './services.ts';
import { createSettingsService } from './settings-service.ts';
import { appendToBenchLog } from './storage/bench-log-repository.ts';
import { listCalibrations } from './storage/calibration-repository.ts';
import { openDatabase } from './storage/open-database.ts';
import { MAIN_BUSY_TIMEOUT_MS, retryWhenLocked } from './storage/retry-when-locked.ts';
import { UNNAMED_TOOL } from './storage/settings-repository.ts';
import { ensureRealTransducer, listTransducers, updateTransducer } from './storage/transducer-repository.ts';
import { getTrial, listTrials } from './storage/trial-repository.ts';
import { createPacker } from './trials/packer.ts';
import { createRecordingWriter } from './trials/recording-writer.ts';
import { createTrialRecorder } from './trials/trial-recorder.ts';
import { createTrialRunner } from './trials/trial-runner.ts';
import { createTrialService } from './trials/trial-service.ts';

const TICK_MS = 50;
const STATUS_INTERVAL_MS = 250;
const LEAST_STATUS_INTERVAL_MS = 40;
const DISK_INTERVAL_MS = 5000;

/**
 * The one composition root: everything but the door. Opens the data folder's database and recovers what a crash left.
 *
 * Errors: the AppErrors of `openDatabase`; nothing is left running then.
 */
export async function composeServices(platform: Platform): Promise<Services> {
  const { clock, log, dataFolder } = platform;
  const databasePath = join(dataFolder, 'proofarm.db');
  const database = openDatabase({
    filePath: databasePath,
    backupFolder: join(dataFolder, 'backups'),
    now: () => clock.now(),
    log,
  });
  const listeners = new Set<EventListener>();
  const emit = <Name extends EventName>(name: Name, payload: EventPayload<Name>): void => {
    for (const listener of listeners) listener(name, payload);
  };
  const now = (): string => clock.now().toISOString();
  /** For work that nobody asked for: a disk that fails for a moment must not end the program, least of all in a run. */
  const notFatally = (whatFailed: string, work: () => void): void => {
    const told = (cause: unknown): void => {
      if (!(cause instanceof AppError)) throw cause;
      log.error(whatFailed, { code: cause.code, cause });
    };
    try {
      void Promise.resolve(retryWhenLocked(work)).catch(told);
    } catch (cause) {
      told(cause);
    }
  };

  // At once where it can be, and never more often than a window could show: a stream of bad lines is a change per block.
  let statusTimer: NodeJS.Timeout | null = null;
  let statusSentUs = -Infinity;
  const sendStatus = (): void => {
    statusTimer = null;
    statusSentUs = clock.monotonicUs();
    notFatally('The status could not be told', () => {
      emit('statusChanged', bench.status());
    });
  };
  const statusChanged = (): void => {
    const waitMs = Math.max(0, LEAST_STATUS_INTERVAL_MS - (clock.monotonicUs() - statusSentUs) / 1000);
    statusTimer ??= setTimeout(sendStatus, waitMs);
  };
  const trialsChanged = (trialId: string): void => {
    emit('trialsChanged', { trialId });
    // A trial changes only by a write that has worked.
    disk.noteFailure(null);
    packer.wake();
  };

  const settings = createSettingsService(database, (changed) => {
    emit('settingsChanged', changed);
    statusChanged();
  });
  const operator = (): string => settings.current().operator;
  const levelsNm = (): readonly number[] => settings.current().levelsNm;
  const disk = createDiskWatch(dataFolder, log);
  const senseWatch = createSenseWatch();

  const trials = createTrialService({ database, clock, log, operator, levelsNm });
  trials.recover();
  // There from the start, so that capacity and rig can be entered before anything is connected.
  ensureRealTransducer(database);
  // From here on the writer thread writes to the same database, and main no longer waits for it.
  database.pragma(`busy_timeout = ${MAIN_BUSY_TIMEOUT_MS}`);
  const writer = createRecordingWriter(() => platform.startRecordingWriter(databasePath), log);
  const packer = createPacker(writer, log, () => runner.state().phase);

  const acquisition = createAcquisitionService({
    onSamples(samples) {
      senseWatch.receive(samples);
      runner.receive(samples);
    },
    onLiveCurve(curve) {
      emit('liveCurve', curve);
    },
  });
  const recorder = createTrialRecorder(
    { clock, log, writer, operator, levelsNm },
    {
      onTrialChanged: trialsChanged,
      onFinished(finished) {
        runner.recordFinished(finished);
      },
      onFailed(failure) {
        runner.recordFailed(failure);
      },
      onTrouble(sentence) {
        disk.noteFailure(sentence);
        statusChanged();
      },
    },
  );
  const runner = createTrialRunner(
    { clock, acquisition, recorder, standingFaults: () => amplifier.standingFaults() },
    {
      onChange: statusChanged,
      onCue(cue) {
        emit('soundCue', cue);
      },
      onOperatorMayStart({ plan, conditions }) {
        if (conditions.transducer.isSimulated) amplifier.pull(simulatedPull(plan.step));
      },
      onOverload(torqueNm) {
        bench.noteOverload(torqueNm);
      },
      onAbort(reason) {
        notFatally('An abort before onset is missing in the bench log', () => {
          appendToBenchLog(database, { at: now(), kind: 'abortBeforeOnset', text: reason });
        });
      },
    },
  );
  const amplifier = createAmplifierSession(platform, {
    onBlock(block) {
      acquisition.receive(block);
    },
    onFault(fault) {
      bench.noteFault(fault);
    },
    onChange: statusChanged,
    onLost(reason) {
      runner.amplifierLost(reason);
      senseWatch.amplifierLost();
    },
    onIdentified: () => undefined,
    onHeard: () => undefined,
    onListeningEnded: () => undefined,
  });
  const bench = createBenchService(
    { platform, amplifier, acquisition, runner, senseWatch, disk, settings, database },
    statusChanged,
  );

  const decide = (trialId: string, decision: 'kept' | 'voided' | 'restored', reason: string) =>
    retryWhenLocked(() => {
      const figures = trials.decide(trialId, decision, reason);
      runner.decisionStored({ trialId, decision, figures });
      trialsChanged(trialId);
      statusChanged();
      return {};
    });

  const connectSerial = async (chosen: AmplifierSettings): Promise<void> => {
    await bench.connectSerial(chosen);
    const { step } = settings.current();
    // A real tool must not go into the Logbook under the name of the invented one.
    const isDemoTool = step.toolName === SIMULATED_TOOL_NAME;
    settings.update({
      amplifier: chosen,
      step: isDemoTool ? { ...step, toolName: UNNAMED_TOOL } : step,
    });
  };
  const connectSimulated = async (): Promise<void> => {
    await bench.connectSimulated();
    const { step } = settings.current();
    if (step.toolName === UNNAMED_TOOL) settings.update({ step: { ...step, toolName: SIMULATED_TOOL_NAME } });
  };

  // On this branch only, until each has its service.
  const notBuiltYet = (): never => {
    throw new AppError('invalid-state', 'Not built yet.');
  };

  const handlers: RequestHandlers = {
    getStatus: () => bench.status(),
    getSettings: () => settings.current(),
    updateSettings: (changes) => retryWhenLocked(() => settings.update(changes)),

    listPorts: async () => ({ ports: await amplifier.listPorts() }),
    listProfiles: () => ({ profiles: [...readyMadeProfiles], ownProfileIds: [] }),
    saveProfile: notBuiltYet,
    deleteProfile: notBuiltYet,
    startListening: notBuiltYet,
    stopListening: notBuiltYet,
    getListening: () => ({ listening: null }),
    listAmplifiers: () => ({ amplifiers: [] }),
    connectKeptAmplifier: notBuiltYet,
    updateAmplifier: notBuiltYet,
    forgetAmplifier: notBuiltYet,
    startCapture: notBuiltYet,
    stopCapture: notBuiltYet,
    listCaptures: () => ({ captures: [] }),
    replayCapture: notBuiltYet,
    makeDiagnosticBundle: notBuiltYet,
    addTransducer: notBuiltYet,
    activateTransducer: notBuiltYet,
    async connectAmplifier(chosen) {
      await connectSerial(chosen);
      return {};
    },
    async connectSimulatedBench() {
      await connectSimulated();
      return {};
    },
    async disconnectAmplifier() {
      await bench.disconnect();
      return {};
    },

    listTransducers: () => ({ transducers: listTransducers(database) }),
    updateTransducer: (changes) =>
      retryWhenLocked(() => {
        bench.refuseWhileBusy('Changing the transducer');
        const changed = updateTransducer(database, changes);
        bench.reloadTransducer();
        return changed;
      }),
    confirmSense: () => bench.confirmSense(),

    listCalibrations: () => ({ calibrations: listCalibrations(database, bench.activeTransducer().id) }),
    previewCalibration,
    saveCalibration: (request) =>
      retryWhenLocked(() => {
        bench.refuseWhileBusy('Making a calibration');
        const version = saveCalibration(database, bench.activeTransducer(), request, {
          operator: operator(),
          now: now(),
        });
        bench.reloadTransducer();
        return version;
      }),
    captureCounts: () => bench.captureCounts(),

    takeZero() {
      bench.takeZero();
      return {};
    },
    confirmSafety: () =>
      retryWhenLocked(() => {
        bench.confirmSafety();
        return {};
      }),
    armTrial: () =>
      retryWhenLocked(() => {
        bench.arm();
        return {};
      }),
    stopTrial() {
      runner.stop();
      return {};
    },

    keepTrial: ({ trialId }) => decide(trialId, 'kept', 'Kept by the operator.'),
    voidTrial: ({ trialId, reason }) => decide(trialId, 'voided', reason),
    restoreTrial: ({ trialId, reason }) => decide(trialId, 'restored', reason),

    listTrials: (query) => listTrials(database, query),
    getTrial: ({ trialId }) => getTrial(database, trialId),
    getTrialCurve: (request) => trials.curve(request),
    getTrialCounts: ({ trialId }) => trials.counts(trialId),
  };

  await disk.refresh();
  const timers = [
    setInterval(() => {
      amplifier.tick();
      senseWatch.tick(clock.monotonicUs());
      runner.tick();
      recorder.tick();
      bench.tick();
    }, TICK_MS),
    setInterval(() => {
      if (amplifier.status().link !== 'disconnected') statusChanged();
    }, STATUS_INTERVAL_MS),
    setInterval(() => {
      void disk.refresh();
    }, DISK_INTERVAL_MS),
  ];
  packer.wake();

  return {
    handlers,
    onEvent(listener) {
      listeners.add(listener);
      return () => listeners.delete(listener);
    },
    async close() {
      for (const timer of timers) clearInterval(timer);
      runner.endForShutdown();
      await amplifier.close();
      packer.close();
      await recorder.close();
      if (statusTimer) clearTimeout(statusTimer);
      database.close();
    },
  };
}
