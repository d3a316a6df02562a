import { recomputeFile, workEntry } from '../../main/hosts/program-files.ts';
import { startOverlayDoor } from '../../main/hosts/overlay-door.ts';
import { startWorkThread } from '../../main/hosts/start-work-thread.ts';
import type { Platform } from '../../main/platform/platform.ts';

/** What both hosts give the services besides a clock, a log and a reader, as they do it. */
export const toolsOfHost: Pick<
  Platform,
  'startWorkThread' | 'startOverlayDoor' | 'recomputeFile' | 'restart'
> = {
  startWorkThread: (request) => startWorkThread(workEntry, request),
  startOverlayDoor,
  recomputeFile,
  restart: () =>
    Promise.reject(new Error('These services were composed without a host that starts them anew')),
};
