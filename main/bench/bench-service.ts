import { randomUUID } from 'node:crypto';
import type { RequestParams } from '../../shared-lib/api-contract.ts';
import { AppError } from '../../shared-lib/app-error.ts';
import type { BenchStatus } from '../../shared-lib/bench-status.ts';
import type { CalibrationVersion } from '../../shared-lib/calibration/calibration-model.ts';
import { overloadLimitNm } from '../../shared-lib/trial/assess-quality.ts';
import { DEFINITION_VERSION } from '../../shared-lib/trial/evaluate-trial.ts';
import type { FaultEvent, Transducer, TrialConditions } from '../../shared-lib/trial/trial-model.ts';
import { onsetLevelNm } from '../../shared-lib/trial/find-onset.ts';
import { isUnderWay } from '../../shared-lib/trial/trial-state.ts';
import type { LiveFault } from '../amplifier/live-fault.ts';
import { faultSentence } from '../amplifier/fault-sentences.ts';
import { saveCalibration } from '../calibration/calibration-service.ts';
import { getCalibration } from '../storage/calibration-repository.ts';
import { retryWhenLocked } from '../storage/retry-when-locked.ts';
import { confirmSafety, fixStepLevel } from '../storage/session-repository.ts';
import { setSense } from '../storage/transducer-repository.ts';
import { listInterruptedUndecided } from '../storage/trial-repository.ts';
import type { ArmedTrial } from '../trials/armed-trial.ts';
import { createBenchChain } from './bench-chain.ts';
import { createBenchConnection, type BenchConnection } from './bench-connection.ts';
import { createBenchSessions } from './bench-sessions.ts';
import type { BenchTools } from './bench-tools.ts';
import { listObstacles } from './list-obstacles.ts';
import { viewOfTrial } from './trial-view.ts';
import { readZero, refuseLoad, type Zero } from './read-zero.ts';

const RECENT_FAULTS = 20;
const PUSH_SHARE_OF_CAPACITY = 0.03;

export interface ReadyChain {
  readonly transducer: Transducer;
  readonly calibration: CalibrationVersion;
  readonly zero: Zero;
  readonly capacityNm: number;
  readonly sampleRateHz: number;
  readonly antiAliasHz: number | null;
}

export interface BenchService {
  /** Connecting, and what is remembered of amplifiers. */
  readonly connection: BenchConnection;
  status(): BenchStatus;
  captureCounts(): { meanCounts: number; spreadCounts: number; sampleCount: number };
  /**
   * Refuses at once. Where the amplifier sets a zero of its own it is told to, and the zero is read from samples that came
   * after it.
   */
  takeZero(): Promise<void>;
  confirmSafety(): void;
  confirmSense(): Promise<Transducer>;
  arm(): void;
  saveCalibration(request: RequestParams<'saveCalibration'>): CalibrationVersion;
  /** The transducer or its calibration was changed by someone else. */
  reloadTransducer(): void;
  /** The transducer that a calibration or a change belongs to, connected or not. */
  activeTransducer(): Transducer;
  /** Refuses as long as no torque can be read from the samples that come. */
  readyChain(what: string): ReadyChain;
  isTrialUnderWay(): boolean;
  /** The calibration of the active transducer; refuses where there is none, or it was made with another amplifier. */
  calibrationToUse(what: string): CalibrationVersion;
  /** Refuses what must not change under a trial, nor while a guided push or the amplifier's zero is awaited. */
  refuseWhileBusy(what: string): void;
  noteFault(fault: LiveFault): void;
  noteOverload(torqueNm: number): void;
  tick(): void;
}

/** The bench as one sitting knows it: which transducer, which calibration, which zero, and whether a trial may start. */
export function createBenchService(tools: BenchTools, onChange: () => void): BenchService {
  const { platform, amplifier, acquisition, runner, settings, database, zeroWatch } = tools;
  const { clock } = platform;
  let recentFaults: FaultEvent[] = [];
  const now = (): string => clock.now().toISOString();

  const sessions = createBenchSessions(database, { now, operator: () => settings.current().operator });
  const chain = createBenchChain(tools, {
    onChange,
    onOtherTransducer() {
      runner.benchChanged();
    },
    onOtherCapacity(transducerId) {
      // The onset levels of a session rest on the capacity, and its safety list was confirmed for the old one.
      sessions.end(transducerId);
    },
  });

  const connected = (): Transducer => {
    const transducer = chain.transducer();
    if (transducer && amplifier.target()) return transducer;
    throw new AppError('amplifier-not-connected', 'No amplifier is connected. Connect one in Setup first.');
  };

  const nominalRateHz = (): number => amplifier.target()?.profile.nominalRateHz ?? 0;

  const obstacles = (): BenchStatus['obstacles'] => {
    const transducer = chain.transducer();
    return listObstacles({
      amplifier: amplifier.status(),
      transducer,
      calibration: chain.calibration(),
      calibratedWith: chain.calibratedWith(),
      hasZero: chain.zero() !== null,
      isSafetyConfirmed:
        transducer?.isSimulated === true || sessions.status(transducer)?.isSafetyConfirmed === true,
      step: settings.current().step,
    });
  };

  const refuseDuringTrial = (what: string): void => {
    if (!isUnderWay(runner.state().phase)) return;
    throw new AppError(
      'invalid-state',
      `${what} has to wait until the trial under way is over; nothing was changed.`,
    );
  };

  const refuseDuringRun = (what: string): void => {
    if (!tools.runClaim.isHeld()) return;
    throw new AppError(
      'invalid-state',
      `${what} has to wait until the calibration run is over: pause it in Calibrate, or end it. Nothing was changed.`,
    );
  };

  const refuseWhileBusy = (what: string): void => {
    refuseDuringTrial(what);
    refuseDuringRun(what);
    if (tools.senseWatch.isWatching()) {
      throw new AppError(
        'invalid-state',
        `${what} has to wait until the guided push was seen; push clockwise now. Nothing was changed.`,
      );
    }
    if (tools.ringingWatch.isWatching()) {
      throw new AppError(
        'invalid-state',
        `${what} has to wait until the tap was seen; tap now, or wait 15 s. Nothing was changed.`,
      );
    }
    if (zeroWatch.isWatching()) {
      throw new AppError(
        'invalid-state',
        `${what} has to wait until the amplifier has set its zero. Nothing was changed; try again in a moment.`,
      );
    }
  };

  /** What was read before the amplifier fell silent says nothing of now. */
  const requireLive = (): void => {
    connected();
    const { link, problem } = amplifier.status();
    if (link === 'connected') return;
    throw new AppError('amplifier-silent', problem?.sentence ?? 'The amplifier is still being connected.');
  };

  const calibrationToUse = (what: string): CalibrationVersion => {
    const { id, activeCalibrationId } = chain.activeTransducer();
    if (activeCalibrationId === null) {
      throw new AppError(
        'calibration-missing',
        `${what} needs a calibration, and this transducer has none. Nothing was changed; calibrate it first.`,
        { transducerId: id },
      );
    }
    const madeWith = chain.calibratedWith();
    if (madeWith !== null) {
      throw new AppError(
        'calibration-missing',
        `${what} needs a calibration for this amplifier: the one in use was made with ${madeWith}. Nothing was changed; connect that one, or calibrate anew.`,
      );
    }
    return chain.calibration() ?? getCalibration(database, activeCalibrationId);
  };

  const readyChain = (what: string): ReadyChain => {
    requireLive();
    refuseWhileBusy(what);
    const transducer = connected();
    const calibration = calibrationToUse(what);
    const zero = chain.zero();
    const { capacityNm } = transducer;
    if (!zero || capacityNm === null) {
      throw new AppError(
        'invalid-state',
        `${what} needs ${zero ? 'the capacity of the transducer' : 'a zero'} first. Nothing was changed.`,
      );
    }
    return {
      transducer,
      calibration,
      zero,
      capacityNm,
      sampleRateHz: amplifier.status().measuredRateHz ?? nominalRateHz(),
      antiAliasHz: amplifier.target()?.profile.antiAliasBandwidthHz ?? null,
    };
  };

  const readCurrentZero = (): Zero =>
    readZero({
      record: acquisition.idleRecord(),
      calibration: chain.validCalibration(),
      capacityNm: chain.transducer()?.capacityNm ?? null,
      nominalRateHz: nominalRateHz(),
      takenAt: now(),
    });

  const connection = createBenchConnection(tools, chain, { refuseDuringTrial, refuseWhileBusy });

  const prepareTrial = (): ArmedTrial => {
    // Before anything else: arming sets the zero, and a run under way keeps the one it began with.
    refuseWhileBusy('Starting a trial');
    const [obstacle] = obstacles();
    if (obstacle) throw new AppError('invalid-state', obstacle.sentence, { obstacle: obstacle.code });
    const transducer = connected();
    const target = amplifier.target();
    const calibration = chain.validCalibration();
    const zero = chain.zero();
    const { clockSource, measuredRateHz } = amplifier.status();
    if (!target || !calibration || !zero || transducer.capacityNm === null || !clockSource) {
      throw new Error('The list of obstacles let an incomplete bench through');
    }
    const { step } = settings.current();
    const nextZero = readCurrentZero();
    refuseLoad({
      before: zero,
      now: nextZero,
      calibration,
      senseSign: transducer.senseSign,
      capacityNm: transducer.capacityNm,
    });
    const noiseNm = nextZero.noiseNm ?? 0;
    const sessionId = sessions.idFor(transducer);
    const level = fixStepLevel(database, sessionId, step, {
      onsetLevelNm: onsetLevelNm(transducer.capacityNm, noiseNm),
      noiseNm,
    });
    // After what may have to be tried again: else each try would follow the drift a little further.
    chain.setZero(nextZero);
    const conditions: TrialConditions = {
      transducer,
      calibrationId: calibration.id,
      amplifierId: target.amplifier?.id ?? null,
      amplifierName: target.amplifier?.name ?? null,
      profile: target.profile,
      clockSource,
      zeroCounts: nextZero.counts,
      noiseNm,
      onsetLevelNm: level.onsetLevelNm,
      softwareVersion: platform.softwareVersion,
      definitionVersion: DEFINITION_VERSION,
      setup: null,
      place: null,
      preparation: null,
      restedS: null,
      plannedRestS: null,
    };
    return {
      plan: { trialId: randomUUID(), step, rigUnloading: transducer.rigUnloading },
      sessionId,
      conditions,
      calibration,
      overloadNm: overloadLimitNm(transducer) ?? transducer.capacityNm,
      sampleRateHz: measuredRateHz ?? target.profile.nominalRateHz,
    };
  };

  const takeZero = (): Promise<void> => {
    requireLive();
    refuseWhileBusy('Setting the zero');
    const target = amplifier.target();
    const text = target?.source.kind === 'serial' ? target.profile.textsToSend.zero : null;
    if (text === null) {
      chain.setZero(readCurrentZero());
      return Promise.resolve();
    }
    amplifier.sendText(text);
    // The old one says nothing of what the amplifier sends from now on.
    chain.setZero(null);
    return zeroWatch.start({ nominalRateHz: nominalRateHz(), nowUs: clock.monotonicUs() }).then(() => {
      chain.setZero(readCurrentZero());
    });
  };

  const noteFault = (fault: LiveFault): void => {
    const { kind, count, sentence } = fault;
    recentFaults = [{ kind, at: now(), atS: null, count, sentence }, ...recentFaults].slice(0, RECENT_FAULTS);
    runner.noteFault(fault);
    onChange();
  };

  return {
    connection,

    status() {
      const calibration = chain.calibration();
      return {
        softwareVersion: platform.softwareVersion,
        host: platform.host,
        dataFolder: platform.dataFolder,
        amplifier: amplifier.status(),
        transducer: chain.transducer(),
        calibration: calibration && tools.calibrationInUse.view(calibration),
        zero: chain.zero(),
        session: sessions.status(chain.transducer()),
        storage: tools.disk.status(amplifier.status().nominalRateHz),
        obstacles: obstacles(),
        step: settings.current().step,
        runSheet: null,
        trial: viewOfTrial(runner.state()),
        interruptedTrialIds: listInterruptedUndecided(database),
        recentFaults,
      };
    },

    captureCounts() {
      requireLive();
      const { counts, meanCounts, spreadCounts } = acquisition.idleRecord();
      return { meanCounts, spreadCounts, sampleCount: counts.length };
    },

    takeZero,

    confirmSafety() {
      confirmSafety(database, sessions.idFor(connected()), now());
      onChange();
    },

    async confirmSense() {
      requireLive();
      const transducer = connected();
      refuseDuringTrial('Confirming the direction');
      refuseDuringRun('Confirming the direction');
      const zero = chain.zero();
      if (!chain.validCalibration() || !zero || transducer.capacityNm === null) {
        throw new AppError(
          'invalid-state',
          'The direction is confirmed with a calibration, a capacity and a zero in place. Set these first.',
        );
      }
      const levelNm = onsetLevelNm(transducer.capacityNm, zero.noiseNm ?? 0);
      const watched = tools.senseWatch.start({
        levelNm,
        nominalRateHz: nominalRateHz(),
        nowUs: clock.monotonicUs(),
      });
      amplifier.push(PUSH_SHARE_OF_CAPACITY * transducer.capacityNm, 1);
      const readSign = await watched;
      const senseSign = readSign === 1 ? transducer.senseSign : transducer.senseSign === 1 ? -1 : 1;
      const confirmed = await retryWhenLocked(() => setSense(database, transducer.id, senseSign, now()));
      chain.use(confirmed);
      return confirmed;
    },

    arm() {
      runner.arm(prepareTrial());
    },

    saveCalibration(request) {
      refuseWhileBusy('Making a calibration');
      const { amplifierId, link } = amplifier.status();
      const version = saveCalibration(database, chain.activeTransducer(), request, {
        amplifierId: link === 'failed' ? null : amplifierId,
        operator: settings.current().operator,
        now: now(),
      });
      chain.reload();
      return version;
    },

    reloadTransducer() {
      chain.reload();
    },
    activeTransducer: () => chain.activeTransducer(),
    readyChain,
    calibrationToUse,
    isTrialUnderWay: () => isUnderWay(runner.state().phase),
    refuseWhileBusy,
    noteFault,

    noteOverload(torqueNm) {
      const count = Math.round(torqueNm);
      noteFault({
        kind: 'overload',
        segment: 0,
        slot: null,
        count,
        sentence: faultSentence('overload', count, ''),
      });
    },

    tick() {
      // A newcomer on the simulated bench sees torque at once; a real bench is zeroed by the person who looks at it.
      const { source, link } = amplifier.status();
      if (source !== 'simulated' || chain.zero() || link !== 'connected') return;
      if ((acquisition.lastSlot() ?? 0) <= nominalRateHz()) return;
      try {
        chain.setZero(readCurrentZero());
      } catch (refusal) {
        // Lost samples, or not at rest yet: it is tried again with the next tick.
        if (!(refusal instanceof AppError)) throw refusal;
      }
    },
  };
}
