import { randomUUID } from 'node:crypto';
import { AppError } from '../../shared-lib/app-error.ts';
import {
  LEAST_BETWEEN_MARKS_MS,
  SYNC_MARK_LEAD_MS,
  type SyncMark,
} from '../../shared-lib/overlay/overlay-model.ts';
import { onsetOnHostClockUs } from '../../shared-lib/overlay/onset-on-host-clock.ts';
import type { Clock } from '../platform/clock.ts';
import type { Logger } from '../platform/logger.ts';
import type { WritableDatabase } from '../storage/database.ts';
import { readRecording } from '../storage/recording-repository.ts';
import { retryWhenLocked } from '../storage/retry-when-locked.ts';
import {
  insertSyncMark,
  listStoredMarks,
  sessionAfter,
  type StoredSyncMark,
  type TrialOfSession,
  trialsOfSession,
} from './sync-mark-repository.ts';

/** The monotonic clock begins anew with the computer; beyond this it was another one, or the calendar was set. */
const MOST_APART_S = 60;

export interface SyncMarks {
  /** Errors: AppError 'invalid-state' within a second of the one before; those of the storage, after the flash was told of. */
  give(sessionId: string | null): Promise<SyncMark>;
  list(): SyncMark[];
}

/** Marks that tie a camera to the curves, told shortly before their instant. */
export function createSyncMarks(
  tools: { readonly database: WritableDatabase; readonly clock: Clock; readonly log: Logger },
  onGiven: (mark: SyncMark) => void,
): SyncMarks {
  const { database, clock, log } = tools;
  let newestUs = -Infinity;
  /** A record that has ended does not change any more; unpacking that of a whole session takes a while. */
  const onsetsUs = new Map<string, number | null>();

  const onsetOf = ({ trialId, onsetSlot, nominalRateHz }: TrialOfSession): number | null => {
    const known = onsetsUs.get(trialId);
    if (known !== undefined) return known;
    let onsetUs: number | null = null;
    try {
      const { marks } = readRecording(database, trialId);
      onsetUs = onsetOnHostClockUs({ marks, onsetSlot, nominalRateHz });
    } catch (cause) {
      // Samples that are damaged are told of where their trial is opened; the other marks stay of use.
      if (!(cause instanceof AppError) || cause.code !== 'block-corrupt') throw cause;
      log.warn('the onset of a trial is missing among the marks', { code: cause.code, cause });
    }
    onsetsUs.set(trialId, onsetUs);
    return onsetUs;
  };

  const complete = (mark: StoredSyncMark): SyncMark => {
    // A session begins with its first arming, and a mark is best given before it.
    const sessionId = mark.sessionId ?? sessionAfter(database, mark.at);
    const trials = sessionId === null ? [] : trialsOfSession(database, sessionId);
    const onsets = trials.flatMap((trial) => {
      const onsetUs = onsetOf(trial);
      if (onsetUs === null) return [];
      const afterS = (onsetUs - mark.monotonicUs) / 1e6;
      const byCalendarS = (Date.parse(trial.startedAt) - Date.parse(mark.at)) / 1000;
      if (mark.sessionId === null && Math.abs(afterS - byCalendarS) > MOST_APART_S) return [];
      return [{ trialId: trial.trialId, toolName: trial.toolName, afterS }];
    });
    return { ...mark, onsets: onsets.sort((first, second) => first.afterS - second.afterS) };
  };

  return {
    async give(sessionId) {
      const nowUs = clock.monotonicUs();
      if (nowUs - newestUs < LEAST_BETWEEN_MARKS_MS * 1000) {
        throw new AppError(
          'invalid-state',
          'A mark was given less than a second ago. No other was given, so that the screen never flickers. Wait a moment and press again.',
        );
      }
      newestUs = nowUs;
      const mark: StoredSyncMark = {
        id: randomUUID(),
        at: new Date(clock.now().getTime() + SYNC_MARK_LEAD_MS).toISOString(),
        monotonicUs: nowUs + SYNC_MARK_LEAD_MS * 1000,
        sessionId,
      };
      const given: SyncMark = { ...mark, onsets: [] };
      // Told first: a disk that is waited for would make the windows late by as much.
      onGiven(given);
      try {
        await retryWhenLocked(() => insertSyncMark(database, mark));
      } catch (error) {
        if (!(error instanceof AppError)) throw error;
        throw new AppError(
          error.code,
          `The mark was shown, but it could not be stored: what a camera saw of it ties nothing. ${error.message} Then give another.`,
          error.details,
          error,
        );
      }
      return given;
    },
    list: () => listStoredMarks(database).map(complete),
  };
}
