import type { ExchangeRate } from '../catalogue/catalogue-model.ts';
import type { ComparedStep } from '../comparison/trial-measure.ts';
import { type AskedMeasure, stepKey } from './gather-scored-trials.ts';
import type { SchemeVersion, ToolProperty } from './scheme-model.ts';

/** Each once. */
export function distinctSteps(asked: readonly AskedMeasure[]): ComparedStep[] {
  return [...new Map(asked.map(({ step }) => [stepKey(step), step])).values()];
}

/** What schemes ask of a tool beside its trials. */
export function propertiesAskedFor(schemes: readonly SchemeVersion[]): ReadonlySet<ToolProperty> {
  return new Set(
    schemes.flatMap(({ terms }) =>
      terms.flatMap(({ measure }) => {
        if (measure.of === 'tool') return [measure.property];
        return measure.of === 'ratio' ? [measure.per] : [];
      }),
    ),
  );
}

export function isPrice(property: ToolProperty): boolean {
  return property === 'priceBare' || property === 'priceKit';
}

/** No rate is made from two others. */
export function isAbout({ currency, inCurrency }: ExchangeRate, wanted: string): boolean {
  return currency === wanted || inCurrency === wanted;
}
