import type { TermMeasure } from '../../shared-lib/standings/scheme-model.ts';
import { levelWords } from '../../shared-lib/level-words.ts';
import { useTorqueDisplay } from '../ui/torque-display.ts';
import { measureWords } from '../../shared-lib/standings/words/measure-words.ts';
import type { QuantityContext } from './words/measure-quantity.ts';

/** How values are shown at this moment, money in the currency of a table. */
export function useQuantityContext(currency: string): QuantityContext {
  return { torque: useTorqueDisplay(), currency };
}

/** What a measure is called, with its torque level in the chosen unit. */
export function useMeasureWords(
  schemes: readonly { readonly schemeId: string; readonly name: string }[],
): (measure: TermMeasure) => string {
  const { unit } = useTorqueDisplay();
  return (measure) =>
    measureWords(
      measure,
      (levelNm) => levelWords(levelNm, unit),
      (schemeId) => schemes.find((scheme) => scheme.schemeId === schemeId)?.name ?? null,
    );
}
