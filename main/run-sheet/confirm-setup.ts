import type { RequestParams } from '../../shared-lib/api-contract.ts';
import { AppError } from '../../shared-lib/app-error.ts';
import { refuseOtherEntry } from '../bench/bench-sheet.ts';
import type { ReadableDatabase } from '../storage/database.ts';
import { appendRunSheetEvent, type Confirmation, newestConfirmations } from '../storage/run-sheet-events.ts';
import type { RunSheetTools } from './run-sheet-tools.ts';

/**
 * Stores that the setup of the current entry is in hand, and what was found of it.
 *
 * Errors: AppError 'amplifier-not-connected'; 'bench-moved-on' where the bench is at another entry, or has no run sheet;
 * 'invalid-request' where volts of a pack are given and no pack was taken off.
 */
export function confirmSetup(
  { platform, database, settings, bench, sheetOnBench }: RunSheetTools,
  { entryId, preparation, lastPackRestedV }: RequestParams<'confirmSetup'>,
): void {
  refuseOtherEntry(sheetOnBench.view(bench.sessionIdSoFar()), entryId, 'Taking up a setup');
  const sheet = sheetOnBench.sheet();
  const entry = sheet?.entries.find(({ id }) => id === entryId);
  if (!sheet || !entry) throw new Error('The current entry is not on the sheet of the bench');
  const packTakenOff = lastPackRestedV === null ? null : takenOff(database, lastPackRestedV);
  const sessionId = bench.sessionId();
  const at = platform.clock.now().toISOString();
  const { setup, round } = entry;
  appendRunSheetEvent(database, {
    runSheetId: sheet.id,
    entryId,
    sessionId,
    kind: 'setupConfirmed',
    confirmation: {
      confirmed: { setupId: setup.setupId, round, sessionId, preparation, at },
      packId: setup.packId,
      packTakenOff,
    },
    operator: settings.current().operator,
    at,
  });
}

function takenOff(database: ReadableDatabase, restedV: number): Confirmation['packTakenOff'] {
  const packId = newestConfirmations(database, 1)[0]?.packId ?? null;
  if (packId !== null) return { packId, restedV };
  throw new AppError(
    'invalid-request',
    'Volts of a pack that was taken off are given, but the setup before had no pack. Nothing was stored. Leave the field empty.',
  );
}
