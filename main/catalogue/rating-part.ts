import type { RequestHandlers } from '../services.ts';
import { insertRating, withdrawRating } from '../storage/rating-repository.ts';
import { retryWhenLocked } from '../storage/retry-when-locked.ts';
import { readFiguresShown } from '../storage/shown-figures.ts';
import { byNow, type CatalogueTools } from './catalogue-tools.ts';
import { findTool } from './find-tool.ts';

/** How tools handle, as people judge it. */
export function createRatingPart(tools: CatalogueTools): {
  readonly handlers: Pick<RequestHandlers, 'rateHandling' | 'getFiguresShown' | 'withdrawRating'>;
} {
  const { database, emit } = tools;
  return {
    handlers: {
      rateHandling: (rating) =>
        retryWhenLocked(() => {
          findTool(database, rating.toolId);
          insertRating(database, { ...rating, at: byNow(tools).at });
          emit('catalogueChanged', {});
          return {};
        }),
      getFiguresShown: ({ trialId }) => ({ trialId, ...readFiguresShown(database, trialId) }),
      withdrawRating: ({ ratingId, reason }) =>
        retryWhenLocked(() => {
          withdrawRating(database, { ratingId, reason, ...byNow(tools) });
          emit('catalogueChanged', {});
          return {};
        }),
    },
  };
}
