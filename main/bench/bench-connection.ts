import { isDeepStrictEqual } from 'node:util';
import type {
  AmplifierProfile,
  AmplifierSettings,
  KeptAmplifier,
} from '../../shared-lib/amplifier/amplifier-profile.ts';
import type { RequestParams, Settings } from '../../shared-lib/api-contract.ts';
import { AppError } from '../../shared-lib/app-error.ts';
import type { Transducer } from '../../shared-lib/trial/trial-model.ts';
import type { AmplifierTarget } from '../amplifier/amplifier-target.ts';
import { profileFromSettings, withEditedProfile } from '../amplifier/profile-from-settings.ts';
import { listProfiles, saveProfile } from '../amplifier/profile-service.ts';
import {
  forgetAmplifier,
  getAmplifier,
  keepAmplifier,
  listAmplifiers,
  renameAmplifier,
  setAmplifierTransducer,
} from '../storage/amplifier-repository.ts';
import { writing } from '../storage/database.ts';
import { retryWhenLocked } from '../storage/retry-when-locked.ts';
import { UNNAMED_TOOL } from '../storage/settings-repository.ts';
import {
  ensureReplayTransducer,
  ensureSimulatedTransducer,
  getTransducer,
  listOwnTransducers,
} from '../storage/transducer-repository.ts';
import type { BenchChain } from './bench-chain.ts';
import { useBuiltInCalibration } from './built-in-calibration.ts';
import type { BenchTools } from './bench-tools.ts';
import { SIMULATED_TOOL_NAME, simulatedBenchTarget } from './simulated-bench-target.ts';

/** Which amplifier is connected, which transducer comes with it, and what is remembered of both. */
export interface BenchConnection {
  /** The port that the user named, whatever device is on it. */
  connectSerial(chosen: AmplifierSettings): Promise<void>;
  /** A kept amplifier, on whatever port it is now. */
  connectKept(amplifierId: string): Promise<void>;
  /** The one of the last time, as a kept one where it is: the port of then may be another device's today. */
  connectLast(): Promise<void>;
  connectSimulated(): Promise<void>;
  /** A captured file as a port, with a transducer of its own. */
  connectReplayed(filePath: string, profile: AmplifierProfile): Promise<void>;
  disconnect(): Promise<void>;
  /** The port was opened again by itself, and has said which device it is. May be called again after a failure. */
  identified(): void;
  rename(change: RequestParams<'updateAmplifier'>): KeptAmplifier;
  /** Also for what is connected at the start. Errors: those of the profile service. */
  saveProfile(profile: AmplifierProfile): AmplifierProfile;
  forget(amplifierId: string): void;
  activateTransducer(transducerId: string): Transducer;
}

export function createBenchConnection(
  tools: BenchTools,
  chain: BenchChain,
  guards: { refuseDuringTrial(what: string): void; refuseWhileBusy(what: string): void },
): BenchConnection {
  const { platform, amplifier, acquisition, settings, database } = tools;
  const now = (): string => platform.clock.now().toISOString();
  /** What was asked of the serial amplifier that is connected or being connected. */
  let chosen: AmplifierSettings | null = null;
  let awaitedConnections = 0;

  const update = (changes: Partial<Settings>): void => {
    const current = settings.current();
    const isNew = Object.entries(changes).some(
      ([key, value]) => !isDeepStrictEqual(value, current[key as keyof Settings]),
    );
    if (isNew) settings.update(changes);
  };

  const rememberForStart = (kept: AmplifierSettings): void => {
    const { step, connectAtStart } = settings.current();
    update({
      amplifier: kept,
      // Whoever has chosen what happens at the start, be it nothing, is not overruled.
      ...(connectAtStart === 'none' && !settings.wasSaved('connectAtStart')
        ? { connectAtStart: 'serial' }
        : {}),
      // A real tool must not go into the Logbook under the name of the invented one.
      ...(step.toolName === SIMULATED_TOOL_NAME ? { step: { ...step, toolName: UNNAMED_TOOL } } : {}),
    });
  };

  /** Keeps the amplifier that is connected now, and brings its transducer along. */
  const keepConnected = (): void => {
    const target = amplifier.target();
    const { link } = amplifier.status();
    if (target?.source.kind !== 'serial' || !chosen || (link !== 'connected' && link !== 'silent')) return;
    const { path, usb } = target.source;
    const present = chain.realTransducer();
    const kept = keepAmplifier(database, {
      settings: { ...chosen, path },
      usb,
      transducerId: present.id,
      at: now(),
    });
    rememberForStart(kept.settings);
    chosen = kept.settings;
    // After a loss another device answers on this port than before.
    if (target.amplifier !== null && target.amplifier.id !== kept.id) chain.setZero(null);
    amplifier.nameAmplifier({ id: kept.id, name: kept.name });
    chain.use(getTransducer(database, kept.transducerId ?? present.id));
  };

  const connect = async (
    target: AmplifierTarget,
    transducer: Transducer,
    asked: AmplifierSettings | null,
  ): Promise<void> => {
    guards.refuseDuringTrial('Changing the amplifier');
    awaitedConnections += 1;
    try {
      const connection = amplifier.connect(target);
      // Heard below; this is for when something before that throws, and nobody is left to hear.
      connection.catch(() => undefined);
      chosen = asked;
      tools.senseWatch.amplifierLost();
      tools.zeroWatch.amplifierLost();
      acquisition.restart(target.profile.nominalRateHz);
      chain.setZero(null);
      chain.use(transducer);
      await connection;
    } finally {
      awaitedConnections -= 1;
    }
    await retryWhenLocked(keepConnected);
  };

  const connectSerial = (asked: AmplifierSettings, known: KeptAmplifier | null): Promise<void> => {
    const ofAmplifier = known?.transducerId ?? null;
    return connect(
      {
        source: { kind: 'serial', path: asked.path, usb: known?.usb ?? null },
        profile: profileFromSettings(asked, listProfiles(database).profiles),
        amplifier: known && { id: known.id, name: known.name },
      },
      ofAmplifier === null ? chain.realTransducer() : getTransducer(database, ofAmplifier),
      asked,
    );
  };

  return {
    connectSerial: (asked) => connectSerial(asked, null),
    connectKept(amplifierId) {
      const kept = getAmplifier(database, amplifierId);
      return connectSerial(kept.settings, kept);
    },

    async connectLast() {
      const { amplifier: last } = settings.current();
      if (last === null) {
        throw new AppError(
          'amplifier-not-found',
          'No amplifier was connected before. Nothing was changed. Choose its port in Setup.',
        );
      }
      const kept = listAmplifiers(database).find(({ settings: ofKept }) => ofKept.path === last.path);
      await connectSerial(kept?.settings ?? last, kept ?? null);
    },

    async connectSimulated() {
      const {
        target,
        transducer: facts,
        calibration,
      } = simulatedBenchTarget(platform.clock.monotonicUs() % 2 ** 31, now());
      const simulated = await retryWhenLocked(() => {
        const present = ensureSimulatedTransducer(database, facts);
        if (present.activeCalibrationId === null) useBuiltInCalibration(database, calibration);
        return getTransducer(database, present.id);
      });
      await connect(target, simulated, null);
      await retryWhenLocked(() => {
        const { step } = settings.current();
        if (step.toolName !== UNNAMED_TOOL) return;
        settings.update({ step: { ...step, toolName: SIMULATED_TOOL_NAME } });
      });
    },

    async connectReplayed(filePath, profile) {
      const transducer = await retryWhenLocked(() => ensureReplayTransducer(database));
      await connect({ source: { kind: 'replayed', filePath }, profile, amplifier: null }, transducer, null);
    },

    async disconnect() {
      guards.refuseDuringTrial('Disconnecting the amplifier');
      await amplifier.disconnect();
      chosen = null;
      chain.setZero(null);
    },

    identified() {
      // Whoever asked for the connection keeps the amplifier, and hears of it where that fails.
      if (awaitedConnections === 0) keepConnected();
    },

    rename({ amplifierId, name }) {
      const renamed = renameAmplifier(database, amplifierId, name);
      if (amplifier.target()?.amplifier?.id === amplifierId) {
        amplifier.nameAmplifier({ id: amplifierId, name: renamed.name });
        chain.reload();
      }
      return renamed;
    },

    saveProfile(profile) {
      const before = listProfiles(database).profiles.find(({ id }) => id === profile.id);
      // In one: done again after half of it, nothing would be found as it was before.
      writing(database, () => {
        saveProfile(database, profile);
        const { amplifier: ofStart } = settings.current();
        if (before !== undefined && ofStart !== null)
          update({ amplifier: withEditedProfile(ofStart, before, profile) });
      });
      // A port that comes back by itself keeps its amplifier by what was asked of it.
      if (before !== undefined) chosen = chosen && withEditedProfile(chosen, before, profile);
      return profile;
    },

    forget(amplifierId) {
      const { name, settings: kept } = getAmplifier(database, amplifierId);
      const isNamed = amplifier.target()?.amplifier?.id === amplifierId;
      if (isNamed && amplifier.status().link !== 'failed') {
        throw new AppError(
          'invalid-state',
          `"${name}" is connected, so it stays on the list. Disconnect it first.`,
          { amplifierId },
        );
      }
      forgetAmplifier(database, amplifierId);
      if (isNamed) amplifier.nameAmplifier(null);
      // Or the next start would connect it, and put it back on the list.
      const isOfStart = isDeepStrictEqual(settings.current().amplifier, kept);
      if (isOfStart && !listAmplifiers(database).some((other) => isDeepStrictEqual(other.settings, kept))) {
        settings.update({ amplifier: null });
      }
    },

    activateTransducer(transducerId) {
      guards.refuseWhileBusy('Changing the transducer');
      const next = getTransducer(database, transducerId);
      if (!listOwnTransducers(database).some(({ id }) => id === transducerId)) {
        throw new AppError(
          'invalid-state',
          'This transducer hangs on another bench; it came here with the data of that bench. Nothing was changed. Choose one of your own, or add one.',
          { transducerId },
        );
      }
      const target = amplifier.target();
      if (next.isSimulated || (target && target.source.kind !== 'serial')) {
        throw new AppError(
          'invalid-state',
          'The simulated bench and a replayed capture each have a transducer of their own, which goes with nothing else. Nothing was changed. Disconnect them to put a real transducer on the bench.',
          { transducerId },
        );
      }
      if (target?.amplifier) setAmplifierTransducer(database, target.amplifier.id, transducerId);
      settings.update({ activeTransducerId: transducerId });
      chain.use(next);
      return next;
    },
  };
}
