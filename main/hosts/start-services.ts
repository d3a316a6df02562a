import { AppError } from '../../shared-lib/app-error.ts';
import { composeServices } from '../compose-services.ts';
import { systemClock } from '../platform/clock.ts';
import { openLogFile } from '../platform/log-file.ts';
import type { Logger } from '../platform/logger.ts';
import type { Platform, ReaderHandle } from '../platform/platform.ts';
import type { Services } from '../services.ts';
import { acquireInstanceLock, type RunningInstance } from '../storage/instance-lock.ts';
import { startOverlayDoor } from './overlay-door.ts';
import { createRestartableServices, type Restart } from './restartable-services.ts';
import { readSoftwareVersion, recomputeFile, recordingWriterEntry, workEntry } from './program-files.ts';
import { startRecordingWriter } from './start-recording-writer.ts';
import { startWorkThread } from './start-work-thread.ts';

export interface ServicesOptions {
  readonly dataFolder: string;
  readonly host: Platform['host'];
  readonly isSimulated: boolean;
  readonly startReader: (log: Logger) => ReaderHandle;
}

export interface StartedServices {
  readonly services: Services;
  readonly log: Logger;
  /** Says where the program answers, for a second start to find. */
  publish(address: string): void;
  /** Ends a trial under way as interrupted, stores, frees the data folder. */
  end(): Promise<void>;
}

/** Where nobody says that the door is open. */
const LONGEST_WAIT_FOR_DOOR_MS = 300;

/** What both hosts do first. `runningAt`: another program works on this folder, and nothing was started. */
export async function startServices(
  options: ServicesOptions,
): Promise<StartedServices | { readonly runningAt: RunningInstance | null }> {
  const { dataFolder, host, isSimulated } = options;
  const lock = acquireInstanceLock(dataFolder);
  if ('runningAt' in lock) return lock;
  try {
    const log = openLogFile(dataFolder);
    const softwareVersion = readSoftwareVersion();
    const compose = async (restart: Restart): Promise<Services> => {
      const composed = await composeServices({
        dataFolder,
        host,
        softwareVersion,
        clock: systemClock,
        log,
        startReader: () => options.startReader(log),
        startRecordingWriter: (databasePath) => startRecordingWriter(recordingWriterEntry, databasePath),
        startWorkThread: (request) => startWorkThread(workEntry, request),
        startOverlayDoor,
        recomputeFile,
        restart,
      });
      if (hasBegun) void connectAtStart(composed, log, isSimulated);
      return composed;
    };
    let hasBegun = false;
    const services = await createRestartableServices(compose);
    // After the door, and after its address was said: the window is waited for, and it needs the time that the reader takes to start.
    const begin = (): void => {
      if (hasBegun) return;
      hasBegun = true;
      clearTimeout(latestBegin);
      void connectAtStart(services, log, isSimulated);
    };
    const latestBegin = setTimeout(begin, LONGEST_WAIT_FOR_DOOR_MS);
    log.info(`started ${softwareVersion} as ${host} on Node ${process.version}`, { path: dataFolder });

    const logCrash = (error: unknown): void => {
      log.error('the program crashed', { cause: error });
    };
    process.on('uncaughtExceptionMonitor', logCrash);
    return {
      services,
      log,
      publish: (address) => {
        lock.publish(address);
        setImmediate(begin);
      },
      async end() {
        hasBegun = true;
        clearTimeout(latestBegin);
        await services.close();
        lock.release();
        log.info('ended');
        process.off('uncaughtExceptionMonitor', logCrash);
      },
    };
  } catch (error) {
    lock.release();
    throw error;
  }
}

/** Not waited for: the program is of use without an amplifier, and a failure shows in its status. */
async function connectAtStart(services: Services, log: Logger, isSimulated: boolean): Promise<void> {
  const { handlers } = services;
  try {
    const { connectAtStart: wanted, amplifier } = await handlers.getSettings({});
    if (isSimulated || wanted === 'simulated') await handlers.connectSimulatedBench({});
    else if (wanted === 'serial' && amplifier !== null) await handlers.connectLastAmplifier({});
  } catch (error) {
    log.warn('the amplifier could not be connected at the start', {
      ...(error instanceof AppError ? { code: error.code } : {}),
      cause: error,
    });
  }
}
