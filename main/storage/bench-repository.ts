import { randomUUID } from 'node:crypto';
import { type WritableDatabase, writing } from './database.ts';

/** This bench among all that trials come from; made, with a number for a name, where it has none yet. */
export function ownBench(database: WritableDatabase, suggestedName = 'Bench 1'): { id: string; name: string } {
  return writing(database, () => {
    const known = database
      .prepare<[], { id: string; name: string }>('SELECT id, name FROM bench WHERE is_own = 1')
      .get();
    if (known !== undefined) return known;
    const made = { id: randomUUID(), name: suggestedName };
    database.prepare('INSERT INTO bench (id, name, is_own) VALUES (?, ?, 1)').run(made.id, made.name);
    return made;
  });
}
