import { bindSchemes, type BoundScheme, type Field } from './bind-schemes.ts';
import { scoreSchemes, type BaseColumns, type SchemeColumns } from './score-terms.ts';
import type { ToolProperty } from './scheme-model.ts';
import type { PropertyValue, ScoredTrial, StandingsInput, StandingsSubject } from './standings-model.ts';
import { gatherTrials, geometricMean, type TrialLookup } from './trials-of-measures.ts';

/** An input with all columns that come of it: what standings, their trail, their draws and their changes are told from. */
export interface ScoredInput {
  readonly input: StandingsInput;
  readonly field: Field;
  readonly trialsOf: TrialLookup;
  readonly trialById: (trialId: string) => ScoredTrial | undefined;
  readonly base: BaseColumns;
  /** Per entry of `field.schemes`. */
  readonly columns: readonly SchemeColumns[];
}

export function scoreInput(input: StandingsInput): ScoredInput {
  const field = bindSchemes(input);
  const trialsOf = gatherTrials(input);
  const { subjects } = field;
  const measures = input.measures.map((_key, measure) =>
    Float64Array.from(subjects, ({ contender }) => geometricMean(trialsOf(measure, contender.key))),
  );
  const properties: Partial<Record<ToolProperty, Float64Array>> = {};
  for (const { terms } of field.schemes) {
    for (const { property } of terms) {
      if (property === null) continue;
      properties[property] ??= Float64Array.from(
        subjects,
        (subject) => findProperty(subject, property)?.value ?? Number.NaN,
      );
    }
  }
  const base = { measures, properties };
  let byId: Map<string, ScoredTrial> | null = null;
  return {
    input,
    field,
    trialsOf,
    // Only changes ask for it, so it is made when it is asked for.
    trialById(trialId) {
      byId ??= new Map(input.trials.map((trial) => [trial.trialId, trial]));
      return byId.get(trialId);
    },
    base,
    columns: scoreSchemes(field, base),
  };
}

/** The table's own scheme and its columns. */
export function mainScheme({ field, columns }: ScoredInput): { scheme: BoundScheme; columns: SchemeColumns } {
  const scheme = field.schemes.at(-1);
  const own = columns.at(-1);
  if (scheme === undefined || own === undefined) throw new RangeError('Standings need a scheme.');
  return { scheme, columns: own };
}

export function findProperty(subject: StandingsSubject, property: ToolProperty): PropertyValue | undefined {
  return subject.properties.find((candidate) => candidate.property === property);
}

/** Null: no scheme of the input. */
export function schemeNameOf({ field }: Pick<ScoredInput, 'field'>): (schemeId: string) => string | null {
  return (schemeId) =>
    field.schemes.find(({ version }) => version.schemeId === schemeId)?.version.name ?? null;
}

/**
 * A total by which places are given: what binary arithmetic adds to the last digits (0.1 + 0.2) must not part two that
 * have the same.
 */
export function roundTotal(total: number): number {
  const digits = Number(total.toPrecision(12));
  // Adding zero makes a plain zero of minus zero.
  return (Math.abs(digits) < 1e3 ? Math.round(digits * 1e9) / 1e9 : digits) + 0;
}
