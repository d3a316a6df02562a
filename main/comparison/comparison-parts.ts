import type { comparisonRequests } from '../../shared-lib/comparison/comparison-requests.ts';
import type { RequestHandlers } from '../services.ts';
import { listContenders } from '../storage/contender-repository.ts';
import { createClaimsPart } from './claims-part.ts';
import { createComparePart } from './compare-part.ts';
import type { ComparisonTools } from './comparison-tools.ts';
import { createFieldPart } from './field-part.ts';
import { createMarginPart } from './margin-part.ts';
import { createMeasuringAnew } from './measured-values.ts';
import { createReachPart } from './reach-part.ts';

/** All that compares tools with each other and with what is claimed of them, as one part of the program. */
export function createComparisonParts(tools: ComparisonTools): {
  readonly handlers: Pick<RequestHandlers, keyof typeof comparisonRequests>;
} {
  const { database } = tools;
  const anew = createMeasuringAnew(tools);
  return {
    handlers: {
      listContenders: () => listContenders(database),
      ...createComparePart(tools, anew).handlers,
      ...createReachPart(tools, anew).handlers,
      ...createFieldPart(tools).handlers,
      ...createClaimsPart(tools).handlers,
      ...createMarginPart(tools).handlers,
    },
  };
}
