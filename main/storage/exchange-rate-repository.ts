import { type ExchangeRate, exchangeRateSchema } from '../../shared-lib/catalogue/catalogue-model.ts';
import { type ReadableDatabase, reading, type WritableDatabase, writing } from './database.ts';

/** By day, those of one day in the order of entry: of those up to a day the last one counts. */
export function listExchangeRates(database: ReadableDatabase): ExchangeRate[] {
  return reading(() =>
    database
      .prepare<[], ExchangeRate>(
        `SELECT currency, in_currency AS inCurrency, rate, on_day AS "on", source FROM exchange_rate
         ORDER BY on_day, id`,
      )
      .all()
      .map((row) => exchangeRateSchema.parse(row)),
  );
}

export function insertExchangeRate(
  database: WritableDatabase,
  { currency, inCurrency, rate, on, source }: ExchangeRate,
  by: { readonly operator: string; readonly at: string },
): void {
  writing(database, () => {
    database
      .prepare(
        `INSERT INTO exchange_rate (currency, in_currency, rate, on_day, source, operator, at)
         VALUES (?, ?, ?, ?, ?, ?, ?)`,
      )
      .run(currency, inCurrency, rate, on, source, by.operator, by.at);
  });
}
