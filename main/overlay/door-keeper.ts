import { randomBytes } from 'node:crypto';
import { AppError } from '../../shared-lib/app-error.ts';
import type { OverlayFrame, OverlaySettings, OverlayState } from '../../shared-lib/overlay/overlay-model.ts';
import type { OverlayDoor } from '../platform/platform.ts';
import type { ShareTools } from '../share-tools.ts';
import { retryWhenLocked } from '../storage/retry-when-locked.ts';
import {
  loadOverlaySettings,
  loadOverlayToken,
  saveOverlaySettings,
  saveOverlayToken,
} from './overlay-repository.ts';

export interface DoorKeeper {
  isOpen(): boolean;
  settings(): OverlaySettings;
  /** Without `shows`. */
  state(): Omit<OverlayState, 'shows'>;
  send(frame: OverlayFrame): void;
  /** Stored first; a door that does not open is told in the state. */
  change(changes: {
    readonly [Key in keyof OverlaySettings]?: OverlaySettings[Key] | undefined;
  }): Promise<void>;
  /** Another token; who had the old one is sent away. */
  renew(): Promise<void>;
  /** Resolves when everything asked for so far has been done. */
  settled(): Promise<void>;
  close(): Promise<void>;
}

/** Opens and closes the overlay's door as its settings say, one change after the other. */
export function createDoorKeeper(
  { platform, database }: Pick<ShareTools, 'platform' | 'database'>,
  listeners: {
    greet(): readonly OverlayFrame[];
    onChange(): void;
  },
): DoorKeeper {
  const { log } = platform;
  let settings = loadOverlaySettings(database);
  let door: OverlayDoor | null = null;
  let problem: string | null = null;
  let viewerCount = 0;
  let isClosed = false;

  const token = async (isNew: boolean): Promise<string> => {
    const stored = isNew ? null : loadOverlayToken(database);
    if (stored !== null) return stored;
    const made = randomBytes(32).toString('base64url');
    await retryWhenLocked(() => saveOverlayToken(database, made));
    return made;
  };

  const shut = async (): Promise<void> => {
    const open = door;
    door = null;
    viewerCount = 0;
    await open?.close();
  };

  const open = async (): Promise<void> => {
    try {
      problem = null;
      if (!settings.isOn || isClosed) return;
      door = await platform.startOverlayDoor({
        port: settings.port,
        token: await token(false),
        log,
        greet: () => [{ kind: 'look', settings }, ...listeners.greet()],
        onViewers(count) {
          viewerCount = door === null ? 0 : count;
          if (!isClosed) listeners.onChange();
        },
      });
    } catch (error) {
      if (!(error instanceof AppError)) throw error;
      log.warn('the overlay could not be served', { code: error.code, cause: error });
      problem = error.message;
    }
  };

  let queue: Promise<void> = Promise.resolve();
  /** One after the other: two doors on one port would be in each other's way. */
  const inTurn = (work: () => Promise<void>): Promise<void> => {
    const done = queue.then(work);
    queue = done.catch(() => undefined);
    return done;
  };

  // The program starts without waiting; what is wrong stands in the state.
  inTurn(open).then(
    () => {
      listeners.onChange();
    },
    (cause: unknown) => {
      log.error('the overlay could not be served', { cause });
    },
  );

  return {
    isOpen: () => door !== null,
    settings: () => settings,
    state: () => ({ settings, url: door?.url ?? null, problem, viewerCount }),
    send(frame) {
      door?.send(frame);
    },
    change: (changes) =>
      inTurn(async () => {
        const before = settings;
        const next: OverlaySettings = {
          isOn: changes.isOn ?? before.isOn,
          port: changes.port ?? before.port,
          layout: changes.layout ?? before.layout,
          theme: changes.theme ?? before.theme,
          delayMs: changes.delayMs ?? before.delayMs,
        };
        await retryWhenLocked(() => saveOverlaySettings(database, next));
        settings = next;
        const isDoorMoved = next.isOn !== before.isOn || next.port !== before.port;
        // Switched on again by the person who has put right what was in the way.
        if (isDoorMoved || (next.isOn && door === null)) {
          await shut();
          await open();
        } else {
          door?.send({ kind: 'look', settings });
        }
        listeners.onChange();
      }),
    renew: () =>
      inTurn(async () => {
        await token(true);
        await shut();
        await open();
        listeners.onChange();
      }),
    settled: () => queue,
    async close() {
      isClosed = true;
      await inTurn(shut);
    },
  };
}
