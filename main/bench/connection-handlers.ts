import type { AmplifierSession } from '../amplifier/amplifier-session.ts';
import type { CaptureService } from '../amplifier/capture-service.ts';
import type { ListeningService } from '../amplifier/listening-service.ts';
import { deleteProfile, listProfiles } from '../amplifier/profile-service.ts';
import type { RequestHandlers } from '../services.ts';
import { listAmplifiers } from '../storage/amplifier-repository.ts';
import type { WritableDatabase } from '../storage/database.ts';
import { retryWhenLocked } from '../storage/retry-when-locked.ts';
import type { BenchService } from './bench-service.ts';

type Names =
  | 'listPorts'
  | 'listProfiles'
  | 'saveProfile'
  | 'deleteProfile'
  | 'startListening'
  | 'stopListening'
  | 'getListening'
  | 'listAmplifiers'
  | 'connectKeptAmplifier'
  | 'connectLastAmplifier'
  | 'updateAmplifier'
  | 'forgetAmplifier'
  | 'startCapture'
  | 'stopCapture'
  | 'listCaptures'
  | 'replayCapture'
  | 'connectAmplifier'
  | 'connectSimulatedBench'
  | 'disconnectAmplifier';

/** Ports, profiles, amplifiers and captures, as a window asks for them. */
export function createConnectionHandlers(tools: {
  readonly database: WritableDatabase;
  readonly amplifier: AmplifierSession;
  readonly listening: ListeningService;
  readonly captures: CaptureService;
  readonly bench: BenchService;
  statusChanged(): void;
}): Pick<RequestHandlers, Names> {
  const { database, amplifier, listening, captures, bench } = tools;
  return {
    listPorts: async () => ({ ports: await amplifier.listPorts() }),
    listProfiles: () => listProfiles(database),
    saveProfile: ({ profile }) => retryWhenLocked(() => ({ profile: bench.connection.saveProfile(profile) })),
    deleteProfile: ({ profileId }) =>
      retryWhenLocked(() => {
        deleteProfile(database, profileId);
        return {};
      }),
    async startListening({ path, baudRate }) {
      bench.refuseWhileBusy('Listening to a port');
      await bench.connection.disconnect();
      await listening.start(path, baudRate);
      return {};
    },
    async stopListening() {
      await listening.stop();
      return {};
    },
    getListening: () => ({ listening: listening.current() }),
    listAmplifiers: () => ({ amplifiers: listAmplifiers(database) }),
    async connectKeptAmplifier({ amplifierId }) {
      await bench.connection.connectKept(amplifierId);
      return {};
    },
    async connectLastAmplifier() {
      await bench.connection.connectLast();
      return {};
    },
    updateAmplifier: (change) => retryWhenLocked(() => bench.connection.rename(change)),
    forgetAmplifier: ({ amplifierId }) =>
      retryWhenLocked(() => {
        bench.connection.forget(amplifierId);
        return {};
      }),
    async startCapture() {
      const started = await captures.start();
      tools.statusChanged();
      return started;
    },
    stopCapture: () => captures.stop(),
    listCaptures: () => captures.list(),
    async replayCapture({ fileName }) {
      const { filePath, profile } = await captures.find(fileName);
      await bench.connection.connectReplayed(filePath, profile);
      return {};
    },
    async connectAmplifier(chosen) {
      await bench.connection.connectSerial(chosen);
      return {};
    },
    async connectSimulatedBench() {
      await bench.connection.connectSimulated();
      return {};
    },
    async disconnectAmplifier() {
      await bench.connection.disconnect();
      return {};
    },
  };
}
