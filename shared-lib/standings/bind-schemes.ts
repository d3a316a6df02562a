import { measureKeyOf } from './measure-keys.ts';
import type { SchemeVersion, Term, ToolProperty } from './scheme-model.ts';
import type { StandingsInput, StandingsSubject } from './standings-model.ts';

/** A term with the places of what it refers to; -1: it refers to nothing of the kind. */
export interface BoundTerm {
  readonly term: Term;
  /** In `StandingsInput.measures`. */
  readonly measure: number;
  readonly property: ToolProperty | null;
  /** In `Field.schemes`; always earlier than the scheme of the term. */
  readonly scheme: number;
  /** Of the reference in `Field.subjects`. */
  readonly reference: number;
  /** Why nobody can have a value, as a sentence; null: somebody could. */
  readonly brokenBecause: string | null;
}

export interface BoundScheme {
  readonly version: SchemeVersion;
  readonly terms: readonly BoundTerm[];
}

/** Who competes by which schemes. */
export interface Field {
  /** By key, so that chance and sums do not depend on the order in which they came. */
  readonly subjects: readonly StandingsSubject[];
  /** Those that are referred to come first; the table's own is the last. */
  readonly schemes: readonly BoundScheme[];
}

/** Errors: RangeError where the input has no scheme. */
export function bindSchemes(input: StandingsInput): Field {
  const [main] = input.schemes;
  if (main === undefined) throw new RangeError('Standings need a scheme.');
  const subjects = input.subjects.toSorted((a, b) => compareText(a.contender.key, b.contender.key));
  const subjectPlaces = new Map(subjects.map(({ contender }, index) => [contender.key, index]));
  const measurePlaces = new Map(input.measures.map((key, index) => [key, index]));
  const bound: BoundScheme[] = [];
  const placeOf = new Map<string, number>();

  const bind = (version: SchemeVersion, onTheWay: readonly string[]): void => {
    const path = [...onTheWay, version.schemeId];
    const terms = version.terms.map((term): BoundTerm => {
      const { measure, how } = term;
      const key = measureKeyOf(measure);
      const reference =
        how.way === 'shareOfReference' && how.reference.is === 'contender'
          ? (subjectPlaces.get(how.reference.key) ?? -1)
          : -1;
      const shared = {
        term,
        measure: key === null ? -1 : (measurePlaces.get(key) ?? -1),
        property: measure.of === 'tool' ? measure.property : measure.of === 'ratio' ? measure.per : null,
        reference,
      };
      if (measure.of !== 'scheme') return { ...shared, scheme: -1, brokenBecause: null };
      if (path.includes(measure.schemeId)) {
        return { ...shared, scheme: -1, brokenBecause: 'The schemes refer to each other in a circle.' };
      }
      const other = newestVersion(input.schemes, measure.schemeId);
      if (other === null) {
        return {
          ...shared,
          scheme: -1,
          brokenBecause: 'The scheme that it takes the total of is not known here.',
        };
      }
      if (!placeOf.has(other.schemeId)) bind(other, path);
      return { ...shared, scheme: placeOf.get(other.schemeId) ?? -1, brokenBecause: null };
    });
    placeOf.set(version.schemeId, bound.length);
    bound.push({ version, terms });
  };
  bind(main, []);
  return { subjects, schemes: bound };
}

/** Null: none of them. */
export function newestVersion(versions: readonly SchemeVersion[], schemeId: string): SchemeVersion | null {
  return versions
    .filter((version) => version.schemeId === schemeId)
    .reduce<SchemeVersion | null>(
      (newest, version) => (newest === null || version.version > newest.version ? version : newest),
      null,
    );
}

/** By code units, the same on every computer. */
export function compareText(a: string, b: string): number {
  return a < b ? -1 : a > b ? 1 : 0;
}
