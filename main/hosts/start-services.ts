import { AppError } from '../../shared-lib/app-error.ts';
import { composeServices } from '../compose-services.ts';
import { systemClock } from '../platform/clock.ts';
import { openLogFile } from '../platform/log-file.ts';
import type { Logger } from '../platform/logger.ts';
import type { Platform, ReaderHandle } from '../platform/platform.ts';
import type { Services } from '../services.ts';
import {
  acquireInstanceLock,
  type HeldInstanceLock,
  type RunningInstance,
} from '../storage/instance-lock.ts';
import { readSoftwareVersion } from './program-files.ts';

export interface ServicesOptions {
  readonly dataFolder: string;
  readonly host: Platform['host'];
  readonly isSimulated: boolean;
  readonly startReader: (log: Logger) => ReaderHandle;
}

export interface StartedServices {
  readonly services: Services;
  readonly lock: HeldInstanceLock;
  readonly log: Logger;
}

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
    const services = await composeServices({
      dataFolder,
      host,
      softwareVersion,
      clock: systemClock,
      log,
      startReader: () => options.startReader(log),
    });
    log.info(`started ${softwareVersion} as ${host} on Node ${process.version}`, { path: dataFolder });
    if (isSimulated) await connectSimulatedBench(services, log);
    return { services, lock, log };
  } catch (error) {
    lock.release();
    throw error;
  }
}

/** The program is of use without it (Setup, Logbook), so a failure is shown by the status and does not end it. */
async function connectSimulatedBench(services: Services, log: Logger): Promise<void> {
  try {
    await services.handlers.connectSimulatedBench({});
  } catch (error) {
    if (!(error instanceof AppError)) throw error;
    log.warn('the simulated bench could not be connected', { code: error.code, cause: error });
  }
}
