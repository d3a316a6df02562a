import type { SchemeContext } from './check-scheme.ts';
import { scoreInput, type ScoredInput } from './score-input.ts';
import type { SchemeVersion, TermMeasure } from './scheme-model.ts';
import { measuresOfSchemes } from './measure-keys.ts';
import type { StandingsInput } from './standings-model.ts';

/**
 * A table as `checkScheme` holds a draft against it. `input` must hold the measures that the draft asks for, and the schemes
 * that it refers to; of what it does not hold nobody has a value. `currentKeyOf`: by which a reference counts now.
 */
export function schemeContextOf(
  input: StandingsInput,
  currentKeyOf: (key: string) => string = (key) => key,
): SchemeContext {
  const scored = new Map<string, ScoredInput>();
  const valuesOf = (measure: TermMeasure): { keys: string[]; values: Float64Array } => {
    const name = JSON.stringify(measure);
    let one = scored.get(name);
    if (one === undefined) {
      one = scoreInput(onlyMeasure(input, measure));
      scored.set(name, one);
    }
    return {
      keys: one.field.subjects.map(({ contender }) => contender.key),
      values: one.columns.at(-1)?.values[0] ?? new Float64Array(),
    };
  };
  return {
    contenderCount: input.subjects.length,
    hasValue: (measure) => valuesOf(measure).values.filter((value) => !Number.isNaN(value)).length,
    findReference(key, measure) {
      const { keys, values } = valuesOf(measure);
      const k = keys.indexOf(currentKeyOf(key));
      if (k < 0) return 'notInTable';
      return (values[k] ?? Number.NaN) > 0 ? 'hasValue' : 'noValue';
    },
  };
}

/** The same input under a scheme of one term, so that it is computed exactly as the standings would. */
function onlyMeasure(input: StandingsInput, measure: TermMeasure): StandingsInput {
  const probe: SchemeVersion = {
    schemeId: '',
    version: 1,
    name: '',
    terms: [
      {
        id: 'probe',
        label: 'probe',
        measure,
        better: 'more',
        how: { way: 'perUnit', points: 1, amount: 1 },
        factor: 1,
        cap: null,
        missing: 'leaveOut',
      },
    ],
    isNormalised: false,
    note: '',
    operator: '',
    createdAt: '',
  };
  const schemes = [probe, ...input.schemes];
  return { ...input, schemes, measures: [...new Set([...input.measures, ...measuresOfSchemes([probe])])] };
}
