import type { SchemeDraft, SchemeFinding, SchemeVersion, TermMeasure } from './scheme-model.ts';

export interface SchemeContext {
  readonly contenderCount: number;
  /** How many have a value. */
  hasValue(measure: TermMeasure): number;
  /** Whether the reference of a share is there with a value; left out: nothing is said of it. */
  findReference?(key: string, measure: TermMeasure): 'notInTable' | 'noValue' | 'hasValue';
}

export function checkScheme(
  draft: SchemeDraft,
  schemeId: string | null,
  others: readonly SchemeVersion[],
  context: SchemeContext | null,
): SchemeFinding[] {
  void draft;
  void schemeId;
  void others;
  void context;
  return [];
}
