import { AppError } from '../../shared-lib/app-error.ts';
import type { RequestHandlers } from '../services.ts';
import { insertExchangeRate, listExchangeRates } from '../storage/exchange-rate-repository.ts';
import { retryWhenLocked } from '../storage/retry-when-locked.ts';
import { byNow, type CatalogueTools } from './catalogue-tools.ts';

/** By which prices of several currencies are compared. */
export function createExchangePart(tools: CatalogueTools): {
  readonly handlers: Pick<RequestHandlers, 'listExchangeRates' | 'addExchangeRate'>;
} {
  const { database, emit } = tools;
  return {
    handlers: {
      listExchangeRates: () => ({ rates: listExchangeRates(database) }),
      addExchangeRate: ({ rate }) =>
        retryWhenLocked(() => {
          if (rate.currency === rate.inCurrency) {
            throw new AppError(
              'invalid-request',
              `A rate stands between two currencies, and both are ${rate.currency}. Nothing was stored. Choose another one.`,
              { currency: rate.currency },
            );
          }
          insertExchangeRate(database, rate, byNow(tools));
          emit('catalogueChanged', {});
          return {};
        }),
    },
  };
}
