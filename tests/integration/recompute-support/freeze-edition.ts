import { createStandingsParts } from '../../../main/standings/standings-parts.ts';
import type { WritableDatabase } from '../../../main/storage/database.ts';
import { OPERATOR, TABLE_ID } from './small-workshop.ts';

/** Freezes the table of the small workshop as it is now. */
export async function freezeEdition(database: WritableDatabase, name: string): Promise<void> {
  const parts = createStandingsParts({
    database,
    clock: { now: () => new Date('2026-03-26T10:00:00.000Z'), monotonicUs: () => 0 },
    softwareVersion: 'test',
    operator: () => OPERATOR,
    emit: () => undefined,
  });
  try {
    await parts.handlers.makeEdition({ tableId: TABLE_ID, name, note: '' });
  } finally {
    parts.close();
  }
}
