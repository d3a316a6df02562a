import type { RequestParams } from '../../shared-lib/api-contract.ts';
import { AppError } from '../../shared-lib/app-error.ts';
import type { BenchStatus, Obstacle } from '../../shared-lib/bench-status.ts';
import type { CalibrationVersion } from '../../shared-lib/calibration/calibration-model.ts';
import type { SheetOnBench } from '../../shared-lib/run-sheet/run-sheet-model.ts';
import { onsetLevelNm } from '../../shared-lib/trial/find-onset.ts';
import type { Step } from '../../shared-lib/trial/step-model.ts';
import type { FaultEvent, Transducer } from '../../shared-lib/trial/trial-model.ts';
import { isUnderWay, type TrialState } from '../../shared-lib/trial/trial-state.ts';
import type { LiveFault } from '../amplifier/live-fault.ts';
import { faultSentence } from '../amplifier/fault-sentences.ts';
import { saveCalibration } from '../calibration/calibration-service.ts';
import { getCalibration } from '../storage/calibration-repository.ts';
import { retryWhenLocked } from '../storage/retry-when-locked.ts';
import { confirmSafety } from '../storage/session-repository.ts';
import { setSense } from '../storage/transducer-repository.ts';
import { listInterruptedUndecided } from '../storage/trial-repository.ts';
import { createBenchChain } from './bench-chain.ts';
import { createBenchConnection, type BenchConnection } from './bench-connection.ts';
import { createBenchGuards } from './bench-guards.ts';
import { createBenchSessions } from './bench-sessions.ts';
import type { BenchTools } from './bench-tools.ts';
import { listObstacles } from './list-obstacles.ts';
import { prepareTrial } from './prepare-trial.ts';
import { isStillAtRest, readZero, refuseStandingBeforePush, type Zero } from './read-zero.ts';
import { viewOfTrial } from './trial-view.ts';

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
  /** Nobody is going to push: `confirmSense` ends with 'cancelled'. */
  giveUpSense(): void;
  /** Errors: those of `prepareTrial`. */
  arm(params: RequestParams<'armTrial'>): void;
  /** The runner is in another state. */
  trialMoved(state: Pick<TrialState, 'phase'>): void;
  /** The session with the transducer that is connected, begun now if need be. Errors: 'amplifier-not-connected'. */
  sessionId(): string;
  /** The same as far as there is one. */
  sessionIdSoFar(): string | null;
  /** The next trial begins a new one. Returns the one that ended; null: there was none. */
  endSession(): string | null;
  /** A trial, or what was decided or is known of one, is another. */
  trialsChanged(): void;
  refuseDuringTrial(what: string): void;
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
  /** Of the trial that was armed last, until its pull has ended. */
  let pulling: {
    readonly setupId: string | null;
    readonly restS: number;
    readonly sessionId: string;
    isUnderWay: boolean;
  } | null = null;
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

  const sheetView = (sessionId: string | null): SheetOnBench | null => tools.sheetOnBench.view(sessionId);

  const stepOf = (sheet: SheetOnBench | null): Step => sheet?.current?.step ?? settings.current().step;

  const obstacles = (session: BenchStatus['session'], sheet: SheetOnBench | null): Obstacle[] => {
    const transducer = chain.transducer();
    return listObstacles({
      amplifier: amplifier.status(),
      transducer,
      calibration: chain.calibration(),
      calibratedWith: chain.calibratedWith(),
      hasZero: chain.zero() !== null,
      isSafetyConfirmed: transducer?.isSimulated === true || session?.isSafetyConfirmed === true,
      step: stepOf(sheet),
      sheet,
    });
  };

  const guards = createBenchGuards(tools);
  const { refuseDuringTrial, refuseDuringRun, refuseWhileBusy } = guards;

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
      converterBits: amplifier.target()?.profile.converterBits ?? 24,
      takenAt: now(),
    });

  const connection = createBenchConnection(tools, chain, { refuseDuringTrial, refuseWhileBusy });

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
    runner.noteFault(fault);
    const { phase } = runner.state();
    if (kind === 'stuck' && phase !== 'run' && phase !== 'tail' && isStillAtRest(chain.zero())) return;
    recentFaults = [{ kind, at: now(), atS: null, count, sentence }, ...recentFaults].slice(0, RECENT_FAULTS);
    onChange();
  };

  return {
    connection,

    status() {
      const calibration = chain.calibration();
      const session = sessions.status(chain.transducer());
      const sheet = sheetView(session?.id ?? null);
      return {
        softwareVersion: platform.softwareVersion,
        host: platform.host,
        dataFolder: platform.dataFolder,
        amplifier: amplifier.status(),
        transducer: chain.transducer(),
        calibration: calibration && tools.calibrationInUse.view(calibration),
        zero: chain.zero(),
        session,
        storage: tools.disk.status(amplifier.status().nominalRateHz),
        obstacles: obstacles(session, sheet),
        step: stepOf(sheet),
        runSheet: sheet,
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
      const calibration = chain.validCalibration();
      if (!calibration || !zero || transducer.capacityNm === null) {
        throw new AppError(
          'invalid-state',
          'The direction is confirmed with a calibration, a capacity and a zero in place. Set these first.',
        );
      }
      refuseStandingBeforePush({
        before: zero,
        now: { counts: acquisition.idleRecord().meanCounts },
        calibration,
        senseSign: transducer.senseSign,
        capacityNm: transducer.capacityNm,
      });
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

    giveUpSense() {
      tools.senseWatch.giveUp();
    },

    arm(params) {
      const session = sessions.status(chain.transducer());
      const sheet = sheetView(session?.id ?? null);
      const armed = prepareTrial(
        tools,
        {
          chain,
          sessions,
          guards,
          sheet,
          obstacles: () => obstacles(session, sheet),
          connected,
          readCurrentZero,
        },
        params,
      );
      runner.arm(armed);
      pulling = {
        setupId: armed.conditions.setup?.setupId ?? null,
        restS: armed.restAfterS,
        sessionId: armed.sessionId,
        isUnderWay: false,
      };
    },

    sessionId: () => sessions.idFor(connected()),
    sessionIdSoFar: () => sessions.status(chain.transducer())?.id ?? null,
    endSession() {
      const transducer = chain.transducer();
      return transducer && sessions.end(transducer.id);
    },
    trialsChanged() {
      sessions.changed();
    },
    refuseDuringTrial,

    trialMoved({ phase }) {
      if (pulling === null) return;
      if (phase === 'run') pulling.isUnderWay = true;
      else if (pulling.isUnderWay) {
        const { setupId, restS, sessionId } = pulling;
        if (setupId !== null) tools.sheetOnBench.pullEnded(sessionId, setupId, restS);
        pulling = null;
      }
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
