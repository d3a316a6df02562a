import type { comparisonRequests } from '../../shared-lib/comparison/comparison-requests.ts';
import type { RequestHandlers } from '../services.ts';
import { listContenders } from '../storage/contender-repository.ts';
import { createComparePart } from './compare-part.ts';
import type { ComparisonTools } from './comparison-tools.ts';
import { createMarginPart } from './margin-part.ts';
import { createMeasuringAnew } from './measured-values.ts';

/** All that compares tools with each other and with what is claimed of them, as one part of the program. */
export function createComparisonParts(tools: ComparisonTools): {
  readonly handlers: Pick<RequestHandlers, keyof typeof comparisonRequests>;
} {
  const { database } = tools;
  const anew = createMeasuringAnew(tools);
  const notYet = (): never => {
    throw new Error('Not built yet');
  };
  return {
    handlers: {
      listContenders: () => listContenders(database),
      ...createComparePart(tools, anew).handlers,
      compareReach: notYet,
      compareField: notYet,
      checkClaims: notYet,
      ...createMarginPart(tools).handlers,
    },
  };
}
