import { randomUUID } from 'node:crypto';
import type { BenchStatus } from '../../shared-lib/bench-status.ts';
import type { Transducer } from '../../shared-lib/trial/trial-model.ts';
import type { WritableDatabase } from '../storage/database.ts';
import { countSessionTrials, createSession, getSession } from '../storage/session-repository.ts';

export interface BenchSessions {
  /** The session with this transducer, made when it is first needed. */
  idFor(transducer: Transducer): string;
  status(transducer: Transducer | null): BenchStatus['session'];
  /** The next trial with this transducer begins a new session. */
  end(transducerId: string): void;
}

/** One session per transducer and start of the program. */
export function createBenchSessions(
  database: WritableDatabase,
  world: { now(): string; operator(): string },
): BenchSessions {
  const ids = new Map<string, string>();
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
        ...countSessionTrials(database, id),
        triggerS: 0,
        exposurePoints: null,
      };
    },
    end(transducerId) {
      ids.delete(transducerId);
    },
  };
}
