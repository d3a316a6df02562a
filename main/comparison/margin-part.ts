import type { RequestHandlers } from '../services.ts';
import { DEFAULT_MARGIN_PERCENT, insertMargin, listMargins } from '../storage/margin-repository.ts';
import { retryWhenLocked } from '../storage/retry-when-locked.ts';
import type { ComparisonTools } from './comparison-tools.ts';

/** The difference that matters, fixed for the sessions that come. */
export function createMarginPart({
  database,
  clock,
  operator,
}: Pick<ComparisonTools, 'database' | 'clock' | 'operator'>): {
  readonly handlers: Pick<RequestHandlers, 'listMargins' | 'setMargin'>;
} {
  return {
    handlers: {
      listMargins: () => ({ defaultPercent: DEFAULT_MARGIN_PERCENT, margins: listMargins(database) }),
      setMargin: (chosen) =>
        retryWhenLocked(() => {
          insertMargin(database, chosen, { operator: operator(), at: clock.now().toISOString() });
          return {};
        }),
    },
  };
}
