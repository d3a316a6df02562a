import type { EventName } from '../../../shared-lib/api-contract.ts';
import { createCatalogueParts } from '../../../main/catalogue/catalogue-parts.ts';
import { type Clock, systemClock } from '../../../main/platform/clock.ts';
import { createItemsPart } from '../../../main/run-sheet/items-part.ts';
import { createSettingsService, type SettingsService } from '../../../main/settings-service.ts';
import type { WritableDatabase } from '../../../main/storage/database.ts';
import { open } from './bench-fixture.ts';

export interface OpenCatalogue {
  readonly database: WritableDatabase;
  readonly settings: SettingsService;
  readonly handlers: ReturnType<typeof createCatalogueParts>['handlers'] &
    ReturnType<typeof createItemsPart>['handlers'];
  /** Returns the function that ends it. */
  onEvent(listener: (name: EventName) => void): () => void;
  close(): void;
}

/** The services of the catalogue and of the bench's lists, on a database file and without the rest of the program. */
export function openCatalogue(folder: string, clock: Clock = systemClock): OpenCatalogue {
  const database = open(folder);
  const listeners = new Set<(name: EventName) => void>();
  const emit = (name: EventName): void => {
    for (const listener of listeners) listener(name);
  };
  const settings = createSettingsService(database, () => undefined);
  return {
    database,
    settings,
    handlers: {
      ...createCatalogueParts({
        database,
        clock,
        operator: () => settings.current().operator,
        emit,
      }).handlers,
      ...createItemsPart({ database, settings, platform: { clock }, emit }).handlers,
    },
    onEvent(listener) {
      listeners.add(listener);
      return () => listeners.delete(listener);
    },
    close() {
      database.close();
    },
  };
}
