import type { EventName, EventPayload } from '../../shared-lib/api-contract.ts';
import type { catalogueRequests } from '../../shared-lib/catalogue/catalogue-requests.ts';
import type { Clock } from '../platform/clock.ts';
import type { RequestHandlers } from '../services.ts';
import type { WritableDatabase } from '../storage/database.ts';

/** What the services of the catalogue of tools are put together from. */
export interface CatalogueTools {
  readonly database: WritableDatabase;
  readonly clock: Clock;
  operator(): string;
  emit<Name extends EventName>(name: Name, payload: EventPayload<Name>): void;
}

/** All that has to do with what is known of the tools, as one part of the program. */
export function createCatalogueParts(_tools: CatalogueTools): {
  readonly handlers: Pick<RequestHandlers, keyof typeof catalogueRequests>;
} {
  const notYet = (): never => {
    throw new Error('Not built yet');
  };
  return {
    handlers: {
      listCatalogue: notYet,
      saveCatalogueTool: notYet,
      getToolHistory: notYet,
      mergeTools: notYet,
      undoMerge: notYet,
      addToolPhoto: notYet,
      getToolPhoto: notYet,
      removeToolPhoto: notYet,
      rateHandling: notYet,
      withdrawRating: notYet,
      exportCatalogue: notYet,
      previewCatalogueImport: notYet,
      importCatalogue: notYet,
      listExchangeRates: notYet,
      addExchangeRate: notYet,
    },
  };
}
