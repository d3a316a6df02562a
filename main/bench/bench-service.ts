import { randomUUID } from 'node:crypto';
import type { AmplifierSettings } from '../../shared-lib/amplifier/amplifier-profile.ts';
import { AppError } from '../../shared-lib/app-error.ts';
import type { BenchStatus } from '../../shared-lib/bench-status.ts';
import type { CalibrationVersion } from '../../shared-lib/calibration/calibration-model.ts';
import { overloadLimitNm } from '../../shared-lib/trial/assess-quality.ts';
import { DEFINITION_VERSION } from '../../shared-lib/trial/evaluate-trial.ts';
import type { FaultEvent, Transducer, TrialConditions } from '../../shared-lib/trial/trial-model.ts';
import { onsetLevelNm } from '../../shared-lib/trial/find-onset.ts';
import { isUnderWay } from '../../shared-lib/trial/trial-state.ts';
import type { AcquisitionService } from '../acquisition/acquisition-service.ts';
import type { AmplifierSession, AmplifierTarget, LiveFault } from '../amplifier/amplifier-session.ts';
import { faultSentence } from '../amplifier/fault-sentences.ts';
import { profileFromSettings } from '../amplifier/profile-from-settings.ts';
import type { Platform } from '../platform/platform.ts';
import type { SettingsService } from '../settings-service.ts';
import { getCalibration, insertCalibration } from '../storage/calibration-repository.ts';
import type { WritableDatabase } from '../storage/database.ts';
import {
  confirmSafety,
  countSessionTrials,
  createSession,
  fixStepLevel,
  getSession,
} from '../storage/session-repository.ts';
import {
  ensureRealTransducer,
  ensureSimulatedTransducer,
  getTransducer,
  setSense,
} from '../storage/transducer-repository.ts';
import { listInterruptedUndecided } from '../storage/trial-repository.ts';
import type { ArmedTrial } from '../trials/armed-trial.ts';
import type { TrialRunner } from '../trials/trial-runner.ts';
import type { DiskWatch } from './disk-watch.ts';
import { listObstacles } from './list-obstacles.ts';
import type { SenseWatch } from './sense-watch.ts';
import { simulatedBenchTarget } from './simulated-bench-target.ts';
import { viewOfTrial } from './trial-view.ts';
import { readZero, refuseLoad, type Zero } from './read-zero.ts';

const RECENT_FAULTS = 20;
const PUSH_SHARE_OF_CAPACITY = 0.03;

export interface BenchTools {
  readonly platform: Platform;
  readonly amplifier: AmplifierSession;
  readonly acquisition: AcquisitionService;
  readonly runner: TrialRunner;
  readonly senseWatch: SenseWatch;
  readonly disk: DiskWatch;
  readonly settings: SettingsService;
  readonly database: WritableDatabase;
}

export interface BenchService {
  status(): BenchStatus;
  connectSerial(settings: AmplifierSettings): Promise<void>;
  connectSimulated(): Promise<void>;
  disconnect(): Promise<void>;
  captureCounts(): { meanCounts: number; spreadCounts: number; sampleCount: number };
  takeZero(): void;
  confirmSafety(): void;
  confirmSense(): Promise<Transducer>;
  arm(): void;
  /** The transducer or its calibration was changed by someone else. */
  reloadTransducer(): void;
  /** The transducer that a calibration or a change belongs to, connected or not. */
  activeTransducer(): Transducer;
  /** Refuses what must not change under a trial, nor while a guided push is awaited. */
  refuseWhileBusy(what: string): void;
  noteFault(fault: LiveFault): void;
  noteOverload(torqueNm: number): void;
  tick(): void;
}

/** The bench as one sitting knows it: which transducer, which calibration, which zero, and whether a trial may start. */
export function createBenchService(tools: BenchTools, onChange: () => void): BenchService {
  const { platform, amplifier, acquisition, runner, settings, database } = tools;
  const { clock } = platform;
  let transducer: Transducer | null = null;
  let calibration: CalibrationVersion | null = null;
  let zero: Zero | null = null;
  let recentFaults: FaultEvent[] = [];
  /** One session per transducer and start of the program, made when it is first needed. */
  const sessionIds = new Map<string, string>();

  const now = (): string => clock.now().toISOString();

  const applyScale = (): void => {
    acquisition.setScale(
      calibration && zero && transducer
        ? { calibration, zeroCounts: zero.counts, senseSign: transducer.senseSign }
        : null,
    );
  };

  const useTransducer = (next: Transducer): void => {
    if (transducer?.id !== next.id) {
      zero = null;
      runner.benchChanged();
    } else if (transducer.capacityNm !== null && transducer.capacityNm !== next.capacityNm) {
      // The onset levels of a session rest on the capacity, and its safety list was confirmed for the old one.
      sessionIds.delete(next.id);
    }
    transducer = next;
    calibration =
      next.activeCalibrationId === null ? null : getCalibration(database, next.activeCalibrationId);
    applyScale();
    onChange();
  };

  const connected = (): Transducer => {
    if (transducer && amplifier.target()) return transducer;
    throw new AppError('amplifier-not-connected', 'No amplifier is connected. Connect one in Setup first.');
  };

  const sessionId = (): string => {
    const current = connected();
    const known = sessionIds.get(current.id);
    if (known !== undefined) return known;
    const id = randomUUID();
    createSession(database, {
      id,
      transducerId: current.id,
      startedAt: now(),
      operator: settings.current().operator,
    });
    sessionIds.set(current.id, id);
    return id;
  };

  const sessionStatus = (): BenchStatus['session'] => {
    const id = transducer ? sessionIds.get(transducer.id) : undefined;
    if (id === undefined) return null;
    const session = getSession(database, id);
    return {
      id,
      startedAt: session.startedAt,
      isSafetyConfirmed: session.safetyConfirmedAt !== null,
      ...countSessionTrials(database, id),
    };
  };

  const isSafetyConfirmed = (): boolean =>
    transducer?.isSimulated === true || sessionStatus()?.isSafetyConfirmed === true;

  const obstacles = (): BenchStatus['obstacles'] =>
    listObstacles({
      amplifier: amplifier.status(),
      transducer,
      calibration,
      hasZero: zero !== null,
      isSafetyConfirmed: isSafetyConfirmed(),
      step: settings.current().step,
    });

  const refuseDuringTrial = (what: string): void => {
    if (!isUnderWay(runner.state().phase)) return;
    throw new AppError(
      'invalid-state',
      `${what} has to wait until the trial under way is over; nothing was changed.`,
    );
  };

  const refuseWhileBusy = (what: string): void => {
    refuseDuringTrial(what);
    if (!tools.senseWatch.isWatching()) return;
    throw new AppError(
      'invalid-state',
      `${what} has to wait until the guided push was seen; push clockwise now. Nothing was changed.`,
    );
  };

  /** What was read before the amplifier fell silent says nothing of now. */
  const requireLive = (): void => {
    connected();
    const { link, problem } = amplifier.status();
    if (link === 'connected') return;
    throw new AppError('amplifier-silent', problem?.sentence ?? 'The amplifier is still being connected.');
  };

  const readCurrentZero = (): Zero =>
    readZero({
      record: acquisition.idleRecord(),
      calibration,
      capacityNm: transducer?.capacityNm ?? null,
      nominalRateHz: amplifier.target()?.profile.nominalRateHz ?? 0,
      takenAt: now(),
    });

  const connect = async (target: AmplifierTarget, next: Transducer): Promise<void> => {
    refuseDuringTrial('Changing the amplifier');
    const connection = amplifier.connect(target);
    acquisition.restart(target.profile.nominalRateHz);
    zero = null;
    useTransducer(next);
    await connection;
  };

  const prepareTrial = (): ArmedTrial => {
    // Before anything else: arming sets the zero, and a run under way keeps the one it began with.
    refuseWhileBusy('Starting a trial');
    const [obstacle] = obstacles();
    if (obstacle) throw new AppError('invalid-state', obstacle.sentence, { obstacle: obstacle.code });
    const current = connected();
    const target = amplifier.target();
    const amplifierStatus = amplifier.status();
    if (!target || !calibration || !zero || current.capacityNm === null || !amplifierStatus.clockSource) {
      throw new Error('The list of obstacles let an incomplete bench through');
    }
    const { step } = settings.current();
    const nextZero = readCurrentZero();
    refuseLoad({
      before: zero,
      now: nextZero,
      calibration,
      senseSign: current.senseSign,
      capacityNm: current.capacityNm,
    });
    zero = nextZero;
    applyScale();
    const noiseNm = nextZero.noiseNm ?? 0;
    const session = sessionId();
    const level = fixStepLevel(database, session, step, {
      onsetLevelNm: onsetLevelNm(current.capacityNm, noiseNm),
      noiseNm,
    });
    const conditions: TrialConditions = {
      transducer: current,
      calibrationId: calibration.id,
      amplifierId: target.amplifier?.id ?? null,
      amplifierName: target.amplifier?.name ?? null,
      profile: target.profile,
      clockSource: amplifierStatus.clockSource,
      zeroCounts: nextZero.counts,
      noiseNm,
      onsetLevelNm: level.onsetLevelNm,
      softwareVersion: platform.softwareVersion,
      definitionVersion: DEFINITION_VERSION,
    };
    return {
      plan: { trialId: randomUUID(), step, rigUnloading: current.rigUnloading },
      sessionId: session,
      conditions,
      calibration,
      overloadNm: overloadLimitNm(current) ?? current.capacityNm,
      sampleRateHz: amplifierStatus.measuredRateHz ?? target.profile.nominalRateHz,
    };
  };

  const takeZero = (): void => {
    requireLive();
    refuseWhileBusy('Setting the zero');
    zero = readCurrentZero();
    applyScale();
    onChange();
  };

  const noteFault = (fault: LiveFault): void => {
    const { kind, count, sentence } = fault;
    recentFaults = [{ kind, at: now(), atS: null, count, sentence }, ...recentFaults].slice(0, RECENT_FAULTS);
    runner.noteFault(fault);
    onChange();
  };

  return {
    status: () => ({
      softwareVersion: platform.softwareVersion,
      host: platform.host,
      dataFolder: platform.dataFolder,
      amplifier: amplifier.status(),
      transducer,
      calibration: calibration && {
        id: calibration.id,
        label: calibration.label,
        createdAt: calibration.createdAt,
        enteredUncertaintyPercent: calibration.enteredUncertaintyPercent,
        hasForward: calibration.forward !== null,
        hasReverse: calibration.reverse !== null,
      },
      zero,
      session: sessionStatus(),
      storage: tools.disk.status(amplifier.status().nominalRateHz),
      obstacles: obstacles(),
      step: settings.current().step,
      trial: viewOfTrial(runner.state()),
      interruptedTrialIds: listInterruptedUndecided(database),
      recentFaults,
    }),

    connectSerial: (chosen) =>
      connect(
        {
          source: { kind: 'serial', path: chosen.path, usb: null },
          profile: profileFromSettings(chosen),
          amplifier: null,
        },
        ensureRealTransducer(database),
      ),

    connectSimulated() {
      const {
        target,
        transducer: facts,
        calibration: known,
      } = simulatedBenchTarget(clock.monotonicUs() % 2 ** 31, now());
      const simulated = ensureSimulatedTransducer(database, facts);
      if (simulated.activeCalibrationId === null) insertCalibration(database, known, null);
      return connect(target, getTransducer(database, simulated.id));
    },

    async disconnect() {
      refuseDuringTrial('Disconnecting the amplifier');
      await amplifier.disconnect();
      zero = null;
      applyScale();
      onChange();
    },

    captureCounts() {
      requireLive();
      const { counts, meanCounts, spreadCounts } = acquisition.idleRecord();
      return { meanCounts, spreadCounts, sampleCount: counts.length };
    },

    takeZero,

    confirmSafety() {
      confirmSafety(database, sessionId(), now());
      onChange();
    },

    async confirmSense() {
      requireLive();
      const current = connected();
      refuseDuringTrial('Confirming the direction');
      if (!calibration || !zero || current.capacityNm === null) {
        throw new AppError(
          'invalid-state',
          'The direction is confirmed with a calibration, a capacity and a zero in place. Set these first.',
        );
      }
      const levelNm = onsetLevelNm(current.capacityNm, zero.noiseNm ?? 0);
      const watched = tools.senseWatch.start({
        levelNm,
        nominalRateHz: amplifier.target()?.profile.nominalRateHz ?? 0,
        nowUs: clock.monotonicUs(),
      });
      amplifier.push(PUSH_SHARE_OF_CAPACITY * current.capacityNm, 1);
      const readSign = await watched;
      const senseSign = readSign === 1 ? current.senseSign : current.senseSign === 1 ? -1 : 1;
      const confirmed = setSense(database, current.id, senseSign, now());
      useTransducer(confirmed);
      return confirmed;
    },

    arm() {
      runner.arm(prepareTrial());
    },

    reloadTransducer() {
      if (transducer) useTransducer(getTransducer(database, transducer.id));
    },
    activeTransducer: () => transducer ?? ensureRealTransducer(database),
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
      if (!transducer?.isSimulated || zero || amplifier.status().link !== 'connected') return;
      if ((acquisition.lastSlot() ?? 0) <= (amplifier.target()?.profile.nominalRateHz ?? Infinity)) return;
      try {
        takeZero();
      } catch (refusal) {
        // Lost samples, or not at rest yet: it is tried again with the next tick.
        if (!(refusal instanceof AppError)) throw refusal;
      }
    },
  };
}
