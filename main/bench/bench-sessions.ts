import { randomUUID } from 'node:crypto';
import type { BenchStatus } from '../../shared-lib/bench-status.ts';
import { exposureOf } from '../../shared-lib/run-sheet/exposure.ts';
import type { Transducer } from '../../shared-lib/trial/trial-model.ts';
import type { WritableDatabase } from '../storage/database.ts';
import { countSessionTrials, createSession, endSession, getSession } from '../storage/session-repository.ts';
import { listSessionPulls } from '../storage/session-trials.ts';

type SessionStatus = NonNullable<BenchStatus['session']>;

export interface BenchSessions {
  /** The session with this transducer, made when it is first needed. */
  idFor(transducer: Transducer): string;
  status(transducer: Transducer | null): SessionStatus | null;
  /** The next trial with this transducer begins a new session. Returns the one that ended; null: there was none. */
  end(transducerId: string): string | null;
  /** A trial, or what was decided or is known of one, is another. */
  changed(): void;
}

/** One session per transducer and start of the program, unless it is ended before. */
export function createBenchSessions(
  database: WritableDatabase,
  world: { now(): string; operator(): string },
): BenchSessions {
  const ids = new Map<string, string>();
  /** The status is told up to 25 times a second, so what rests on all trials of a session is read once per change. */
  let read: { readonly id: string; readonly counted: Counted } | null = null;
  type Counted = Pick<SessionStatus, 'keptCount' | 'voidedCount' | 'triggerS' | 'exposurePoints'>;

  const countedIn = (id: string): Counted => {
    if (read?.id === id) return read.counted;
    const { triggerS, points, knownTriggerS } = exposureOf(listSessionPulls(database, id));
    const counted = {
      ...countSessionTrials(database, id),
      triggerS,
      exposurePoints: knownTriggerS > 0 ? points : null,
    };
    read = { id, counted };
    return counted;
  };

  return {
    idFor({ id: transducerId }) {
      const known = ids.get(transducerId);
      if (known !== undefined) return known;
      const id = randomUUID();
      createSession(database, { id, transducerId, startedAt: world.now(), operator: world.operator() });
      ids.set(transducerId, id);
      return id;
    },
    status(transducer) {
      const id = transducer ? ids.get(transducer.id) : undefined;
      if (id === undefined) return null;
      const session = getSession(database, id);
      return {
        id,
        startedAt: session.startedAt,
        isSafetyConfirmed: session.safetyConfirmedAt !== null,
        ...countedIn(id),
      };
    },
    end(transducerId) {
      const id = ids.get(transducerId);
      if (id === undefined) return null;
      endSession(database, id, world.now());
      ids.delete(transducerId);
      return id;
    },
    changed() {
      read = null;
    },
  };
}
