import type { ContenderLookup } from '../comparison/contender-lookup.ts';
import type { SchemeVersion } from './scheme-model.ts';

/**
 * Schemes with each reference under the key by which it counts now: a merge of two tools makes another key of the one that was
 * stored, and one that is taken back brings it again. What is stored stays as it is.
 */
export function withCurrentReferences(
  schemes: readonly SchemeVersion[],
  contenders: Pick<ContenderLookup, 'currentKeyOf'>,
): SchemeVersion[] {
  return schemes.map((scheme) => ({
    ...scheme,
    terms: scheme.terms.map((term) => {
      const { how } = term;
      if (how.way !== 'shareOfReference' || how.reference.is !== 'contender') return term;
      const key = contenders.currentKeyOf(how.reference.key);
      return { ...term, how: { ...how, reference: { ...how.reference, key } } };
    }),
  }));
}
