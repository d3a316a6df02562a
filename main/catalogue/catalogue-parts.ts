import type { catalogueRequests } from '../../shared-lib/catalogue/catalogue-requests.ts';
import type { RequestHandlers } from '../services.ts';
import { createCataloguePart } from './catalogue-part.ts';
import type { CatalogueTools } from './catalogue-tools.ts';
import { createExchangePart } from './exchange-part.ts';
import { createImportPart } from './import-part.ts';
import { createMergePart } from './merge-part.ts';
import { createPhotoPart } from './photo-part.ts';
import { createRatingPart } from './rating-part.ts';

/** All that has to do with what is known of the tools, as one part of the program. */
export function createCatalogueParts(tools: CatalogueTools): {
  readonly handlers: Pick<RequestHandlers, keyof typeof catalogueRequests>;
} {
  return {
    handlers: {
      ...createCataloguePart(tools).handlers,
      ...createMergePart(tools).handlers,
      ...createPhotoPart(tools).handlers,
      ...createRatingPart(tools).handlers,
      ...createImportPart(tools).handlers,
      ...createExchangePart(tools).handlers,
    },
  };
}
