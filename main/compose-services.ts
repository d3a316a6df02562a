import { join } from 'node:path';
import type { EventName, EventPayload } from '../shared-lib/api-contract.ts';
import { mayBeLoadedAtStart } from '../shared-lib/trial/kind-rules.ts';
import { createAcquisitionService } from './acquisition/acquisition-service.ts';
import { createAmplifierSession, type AmplifierSession } from './amplifier/amplifier-session.ts';
import { createCaptureService } from './amplifier/capture-service.ts';
import { createListeningService } from './amplifier/listening-service.ts';
import { createBenchService } from './bench/bench-service.ts';
import { createBenchSheet } from './bench/bench-sheet.ts';
import { createCalibrationInUse } from './bench/calibration-in-use.ts';
import { createConnectionHandlers } from './bench/connection-handlers.ts';
import { createDiskWatch } from './bench/disk-watch.ts';
import { createRingingWatch } from './bench/ringing-watch.ts';
import { createRunClaim } from './bench/run-claim.ts';
import { createSenseWatch } from './bench/sense-watch.ts';
import { simulatedPull } from './bench/simulated-bench-target.ts';
import { createStatusSender } from './bench/status-sender.ts';
import { createZeroWatch } from './bench/zero-watch.ts';
import { createCalibrationParts } from './calibration/calibration-parts.ts';
import { createCatalogueParts } from './catalogue/catalogue-parts.ts';
import { createComparisonParts } from './comparison/comparison-parts.ts';
import { previewCalibration } from './calibration/calibration-service.ts';
import { createDiagnosticService } from './diagnostics/diagnostic-service.ts';
import { createLogbookParts } from './logbook/logbook-parts.ts';
import type { Platform } from './platform/platform.ts';
import { createRunSheetParts } from './run-sheet/run-sheet-parts.ts';
import type { EventListener, Services } from './services.ts';
import { createShareParts } from './share-parts.ts';
import type { ShareTools } from './share-tools.ts';
import { createSettingsService } from './settings-service.ts';
import { appendToBenchLog } from './storage/bench-log-repository.ts';
import { createStandingsParts } from './standings/standings-parts.ts';
import { listCalibrations } from './storage/calibration-repository.ts';
import { openDatabase } from './storage/open-database.ts';
import { MAIN_BUSY_TIMEOUT_MS, retryWhenLocked } from './storage/retry-when-locked.ts';
import {
  addTransducer,
  ensureRealTransducer,
  listOwnTransducers,
  updateTransducer,
} from './storage/transducer-repository.ts';
import { getTrial } from './storage/trial-repository.ts';
import { createUnaskedWork } from './storage/unasked-work.ts';
import { createPacker } from './trials/packer.ts';
import { createRecordingWriter } from './trials/recording-writer.ts';
import type { ArmedTrial } from './trials/armed-trial.ts';
import { createTrialRecorder } from './trials/trial-recorder.ts';
import { createTrialRunner } from './trials/trial-runner.ts';
import { createTrialService } from './trials/trial-service.ts';
import { showAsReadNow } from './trials/show-as-read-now.ts';

const TICK_MS = 50;
const STATUS_INTERVAL_MS = 250;
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
  const notFatally = createUnaskedWork(database, log);
  const statusSender = createStatusSender(clock, () => {
    notFatally('The status could not be told', () => {
      emit('statusChanged', bench.status());
    });
  });
  const statusChanged = (): void => {
    statusSender.changed();
  };
  const trialsChanged = (trialId: string): void => {
    calibrationInUse.changed();
    sheetOnBench.changed();
    bench.trialsChanged();
    showAsReadNow(runner, database, trialId);
    emit('trialsChanged', { trialId });
    // A trial changes only by a write that has worked.
    disk.noteFailure(null);
    packer.wake();
    logbook.wake();
  };

  const settings = createSettingsService(database, (changed) => {
    emit('settingsChanged', changed);
    statusChanged();
  });
  const operator = (): string => settings.current().operator;
  const levelsNm = (): readonly number[] => settings.current().levelsNm;
  const disk = createDiskWatch(dataFolder, log);
  const senseWatch = createSenseWatch();
  const zeroWatch = createZeroWatch();
  const ringingWatch = createRingingWatch();
  const runClaim = createRunClaim();
  const calibrationInUse = createCalibrationInUse(database, clock);
  const sheetOnBench = createBenchSheet({ database, settings, clock });

  const trials = createTrialService({ database, clock, log, operator, levelsNm });
  trials.recover();
  // There from the start, so that capacity and rig can be entered before anything is connected.
  ensureRealTransducer(database);
  // From here on the writer thread writes to the same database, and main no longer waits for it.
  database.pragma(`busy_timeout = ${MAIN_BUSY_TIMEOUT_MS}`);
  const writer = createRecordingWriter(() => platform.startRecordingWriter(databasePath), log);
  const packer = createPacker(writer, log, () => runner.state().phase);

  const acquisition = createAcquisitionService({
    measuredRateHz: () => amplifier.status().measuredRateHz,
    onSamples(samples) {
      senseWatch.receive(samples);
      zeroWatch.receive(samples);
      runner.receive(samples);
      calibrating.receive(samples);
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
  const pullSimulated = ({ plan, conditions }: ArmedTrial): void => {
    if (!conditions.transducer.isSimulated) return;
    amplifier.pull(simulatedPull(plan.step, conditions.setup?.setting));
  };
  const runner = createTrialRunner(
    { clock, acquisition, recorder, standingFaults: () => amplifier.standingFaults() },
    {
      onChange(state) {
        bench.trialMoved(state);
        statusChanged();
      },
      onCue(cue) {
        emit('soundCue', cue);
      },
      onOperatorMayPrepare(armed) {
        if (mayBeLoadedAtStart(armed.plan.step.kind)) pullSimulated(armed);
      },
      onOperatorMayStart(armed) {
        if (!mayBeLoadedAtStart(armed.plan.step.kind)) pullSimulated(armed);
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
  const session = createAmplifierSession(platform, {
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
      zeroWatch.amplifierLost();
      calibrating.amplifierLost();
      // Last, since a trial under way takes its newest samples from there.
      acquisition.amplifierLost();
    },
    onIdentified() {
      notFatally('The amplifier could not be kept', () => {
        bench.connection.identified();
      });
    },
    onHeard(bytes, arrivalUs) {
      listening.heard(bytes, arrivalUs);
    },
    onListeningEnded(message) {
      listening.ended(message);
    },
  });
  const listening = createListeningService({ clock, log, port: session }, (heard) => {
    emit('listeningChanged', { listening: heard });
  });
  const amplifier: AmplifierSession = {
    ...session,
    // Trying baud rates opens the port again and again; a connection must not be refused because of that.
    connect(target) {
      void listening.stop();
      return session.connect(target);
    },
  };
  const bench = createBenchService(
    {
      platform,
      amplifier,
      acquisition,
      runner,
      senseWatch,
      zeroWatch,
      ringingWatch,
      runClaim,
      calibrationInUse,
      disk,
      sheetOnBench,
      settings,
      database,
    },
    statusChanged,
  );
  // What a tool declares counts for the pulls of the session, and several parts change tools.
  listeners.add((name) => {
    if (name !== 'catalogueChanged') return;
    bench.trialsChanged();
    statusChanged();
  });

  const calibrating = createCalibrationParts({
    platform,
    database,
    settings,
    amplifier,
    acquisition,
    bench,
    writer,
    ringingWatch,
    runClaim,
    calibrationInUse,
    emit,
    statusChanged,
    trialsChanged,
  });

  const logbook = createLogbookParts({
    database,
    clock,
    log,
    writer,
    trials,
    operator,
    isTrialUnderWay: () => bench.isTrialUnderWay(),
    trialsChanged,
  });
  const runSheets = createRunSheetParts({
    platform,
    database,
    settings,
    bench,
    sheetOnBench,
    emit,
    statusChanged,
  });

  const catalogue = createCatalogueParts({ database, clock, operator, emit });
  const comparison = createComparisonParts({
    database,
    clock,
    writer,
    operator,
    qualityGate: () => settings.current().qualityGate,
    isTrialUnderWay: () => bench.isTrialUnderWay(),
    emit,
  });
  const standings = createStandingsParts({
    database,
    clock,
    softwareVersion: platform.softwareVersion,
    operator,
    emit,
  });

  const decide = (...decided: Parameters<typeof trials.decide>) =>
    retryWhenLocked(() => {
      const [trialId, decision] = decided;
      const figures = trials.decide(...decided);
      runner.decisionStored({ trialId, decision, figures });
      trialsChanged(trialId);
      statusChanged();
      return {};
    });

  const captures = createCaptureService({ dataFolder, clock, log, amplifier });
  const diagnostics = createDiagnosticService({
    platform,
    status: () => bench.status(),
    profile: () => amplifier.target()?.profile ?? null,
    operator,
    takeRecentBytes: () => amplifier.takeRecentBytes(),
  });

  const shown: ShareTools['shown'] = {
    getStatus: () => bench.status(),
    getSettings: () => settings.current(),
    updateSettings: (changes) => retryWhenLocked(() => settings.update(changes)),

    ...createConnectionHandlers({ database, amplifier, listening, captures, bench, statusChanged }),
    makeDiagnosticBundle: ({ includeRawBytes }) => diagnostics.makeBundle(includeRawBytes),

    listTransducers: () => ({ transducers: listOwnTransducers(database) }),
    updateTransducer: (changes) =>
      retryWhenLocked(() => {
        bench.refuseWhileBusy('Changing the transducer');
        const changed = updateTransducer(database, changes);
        bench.reloadTransducer();
        return changed;
      }),
    addTransducer: ({ name }) => retryWhenLocked(() => addTransducer(database, name)),
    activateTransducer: ({ transducerId }) =>
      retryWhenLocked(() => bench.connection.activateTransducer(transducerId)),
    confirmSense: () => bench.confirmSense(),
    giveUpSense() {
      bench.giveUpSense();
      return {};
    },

    listCalibrations: ({ transducerId }) => ({ calibrations: listCalibrations(database, transducerId) }),
    previewCalibration,
    saveCalibration: (request) =>
      retryWhenLocked(() => {
        const version = bench.saveCalibration(request);
        emit('calibrationsChanged', {});
        return version;
      }),
    captureCounts: () => bench.captureCounts(),
    ...calibrating.handlers,

    takeZero: () => bench.takeZero().then(() => ({})),
    confirmSafety: () =>
      retryWhenLocked(() => {
        bench.confirmSafety();
        return {};
      }),
    armTrial: (params) =>
      retryWhenLocked(() => {
        bench.arm(params);
        return {};
      }),
    stopTrial() {
      runner.stop();
      return {};
    },

    keepTrial: ({ trialId, stopCause }) => {
      // It is measured for that in this thread, and a run would have to wait for it.
      if (getTrial(database, trialId).summary.state === 'interrupted') {
        bench.refuseDuringTrial('Keeping a trial that was cut short');
      }
      return decide(trialId, 'kept', 'Kept by the operator.', stopCause);
    },
    voidTrial: ({ trialId, reason }) => decide(trialId, 'voided', reason),
    restoreTrial: ({ trialId, reason }) => decide(trialId, 'restored', reason),

    ...logbook.handlers,
    ...runSheets.handlers,
    ...catalogue.handlers,
    ...comparison.handlers,
    ...standings.handlers,

    getTrial: ({ trialId }) => getTrial(database, trialId),
    getTrialCurve: (request) => trials.curve(request),
    getTrialCounts: ({ trialId }) => trials.counts(trialId),
  };
  const onEvent: Services['onEvent'] = (listener) => {
    listeners.add(listener);
    return () => listeners.delete(listener);
  };
  const share = createShareParts({
    platform,
    database,
    databasePath,
    settings,
    shown,
    operator,
    isBenchBusy: () => bench.isTrialUnderWay() || runClaim.isHeld(),
    holdBench(what) {
      bench.refuseWhileBusy(what);
      runClaim.hold('import');
      return () => {
        runClaim.release('import');
      };
    },
    emit,
    onEvent,
    trialsChanged,
  });

  await disk.refresh();
  const timers = [
    setInterval(() => {
      amplifier.tick();
      listening.tick();
      senseWatch.tick(clock.monotonicUs());
      zeroWatch.tick(clock.monotonicUs());
      runner.tick();
      calibrating.tick();
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
  logbook.wake();

  return {
    handlers: { ...shown, ...share.handlers },
    onEvent,
    async close() {
      await share.close();
      for (const timer of timers) clearInterval(timer);
      runner.endForShutdown();
      calibrating.close();
      await amplifier.close();
      packer.close();
      logbook.close();
      standings.close();
      await recorder.close();
      statusSender.close();
      database.close();
    },
  };
}
