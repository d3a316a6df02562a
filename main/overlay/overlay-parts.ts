import { AppError } from '../../shared-lib/app-error.ts';
import type { BenchStatus, LiveCurve } from '../../shared-lib/bench-status.ts';
import type { OverlayFrame, overlayRequests, OverlayState } from '../../shared-lib/overlay/overlay-model.ts';
import { createOverlayTeller } from '../../shared-lib/overlay/overlay-teller.ts';
import type { EventListener, RequestHandlers } from '../services.ts';
import type { ShareTools } from '../share-tools.ts';
import { createDoorKeeper } from './door-keeper.ts';
import { createHeldBack } from './held-back.ts';
import { gatherReplay, type ReplayFrame } from './replay-part.ts';
import { createSyncMarks } from './sync-marks.ts';

/** The page finds out by these how its own clock stands to the host's. */
const CLOCK_INTERVAL_MS = 1000;
/** So long the end of a replay stands, to be looked at. */
const REPLAY_STANDS_S = 4;
/** For the frames to arrive. */
const REPLAY_LEAD_US = 300_000;

/** The overlay, its replays and its marks. */
export function createOverlayParts(tools: ShareTools): {
  readonly handlers: Pick<RequestHandlers, keyof typeof overlayRequests>;
  close(): Promise<void>;
} {
  const { platform, database, settings, shown, emit } = tools;
  const { clock, log } = platform;
  let replay: ReplayFrame | null = null;
  let replayEnd: NodeJS.Timeout | null = null;
  let newest: BenchStatus | null = null;
  let isClosed = false;

  const keeper = createDoorKeeper(tools, {
    greet: () => [
      clockFrame(),
      ...teller.greeting(clock.monotonicUs()),
      ...(replay === null ? [] : [replay]),
    ],
    onChange: () => {
      emit('overlayChanged', state());
    },
  });
  const clockFrame = (): OverlayFrame => ({ kind: 'clock', hostUs: clock.monotonicUs() });
  const state = (): OverlayState => ({ ...keeper.state(), shows: replay === null ? 'live' : 'replay' });

  /** What the bench does meanwhile is told when the replay is over. */
  const teller = createOverlayTeller((frame) => {
    if (replay === null) keeper.send(frame);
  });
  const tellStatus = (status: BenchStatus): void => {
    newest = status;
    heldBack.follow(status.trial, settings.current());
    const told = {
      torqueUnit: settings.current().torqueUnit,
      isHeldBack: (trialId: string) => heldBack.isHeldBack(trialId),
    };
    teller.takeStatus(status, told, clock.monotonicUs());
  };
  const heldBack = createHeldBack(tools, () => {
    if (newest !== null && !isClosed) tellStatus(newest);
  });

  const endReplay = (): void => {
    if (replay === null) return;
    replay = null;
    if (replayEnd !== null) clearTimeout(replayEnd);
    replayEnd = null;
    for (const frame of teller.greeting(clock.monotonicUs())) keeper.send(frame);
    emit('overlayChanged', state());
  };

  const marks = createSyncMarks({ database, clock, log }, (mark) => {
    emit('syncMarkGiven', mark);
    keeper.send({ kind: 'syncMark', markId: mark.id, atUs: mark.monotonicUs });
  });

  const follow: EventListener = (name, payload) => {
    if (!keeper.isOpen()) return;
    switch (name) {
      case 'statusChanged': {
        // The map of events holds under this name nothing else.
        const status = payload as BenchStatus;
        if (isTrialBegun(status)) endReplay();
        tellStatus(status);
        return;
      }
      case 'liveCurve':
        teller.takeCurve(payload as LiveCurve, clock.monotonicUs());
        return;
      case 'catalogueChanged':
        heldBack.forget();
        if (newest !== null) tellStatus(newest);
        return;
      case 'settingsChanged':
        if (newest !== null) tellStatus(newest);
        return;
      default:
    }
  };
  const stopFollowing = tools.onEvent(follow);
  const clockTimer = setInterval(() => {
    keeper.send(clockFrame());
  }, CLOCK_INTERVAL_MS);

  const openDoor = async (change: Promise<void>): Promise<OverlayState> => {
    await change;
    // A page that comes before anything happens is told what there is.
    if (keeper.isOpen()) tellStatus(await shown.getStatus({}));
    return state();
  };

  openDoor(keeper.settled()).catch((cause: unknown) => {
    log.warn('the overlay was not told how the bench stands', { cause });
  });

  return {
    handlers: {
      async getOverlay() {
        await keeper.settled();
        return state();
      },
      setOverlay: (changes) => openDoor(keeper.change(changes)),
      renewOverlayAddress: () => openDoor(keeper.renew()),
      async giveSyncMark() {
        const { session } = await shown.getStatus({});
        return marks.give(session?.id ?? null);
      },
      listSyncMarks: () => ({ marks: marks.list() }),
      async playReplay({ replay: wanted }) {
        if (!keeper.isOpen()) {
          throw new AppError(
            'overlay-unavailable',
            'The overlay is off, so nobody would see the replay. Nothing was shown. Switch the overlay on first.',
          );
        }
        if (tools.isBenchBusy()) throw benchBusy();
        const startAtUs = clock.monotonicUs() + REPLAY_LEAD_US;
        const frame = await gatherReplay(tools, wanted, settings.current().torqueUnit, startAtUs);
        // Gathering takes a while, in which somebody may have pressed.
        if (tools.isBenchBusy()) throw benchBusy();
        endReplay();
        replay = { ...frame, startAtUs: clock.monotonicUs() + REPLAY_LEAD_US };
        keeper.send(replay);
        const lastsS = REPLAY_LEAD_US / 1e6 + (frame.toS - frame.fromS) + keeper.settings().delayMs / 1000;
        replayEnd = setTimeout(endReplay, (lastsS + REPLAY_STANDS_S) * 1000);
        emit('overlayChanged', state());
        return {};
      },
      stopReplay() {
        endReplay();
        return {};
      },
    },
    async close() {
      isClosed = true;
      stopFollowing();
      clearInterval(clockTimer);
      if (replayEnd !== null) clearTimeout(replayEnd);
      await keeper.close();
    },
  };
}

function isTrialBegun({ trial: { phase } }: BenchStatus): boolean {
  return phase === 'countdown' || phase === 'waiting' || phase === 'run' || phase === 'tail';
}

function benchBusy(): AppError {
  return new AppError(
    'invalid-state',
    'A trial is under way, and the overlay shows it. No replay was begun. Wait until the trial is over.',
  );
}
