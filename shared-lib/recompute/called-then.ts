import type { Contender } from '../comparison/comparison-model.ts';
import { describeSetup } from '../run-sheet/describe-entry.ts';
import type { StandingsSubject } from '../standings/standings-model.ts';
import { agreesWith } from './compare-values.ts';

export interface Renamed {
  readonly then: string;
  readonly now: string;
}

/**
 * The subjects of a package with the words that an edition has for them. Packs and setups have no history, so whoever renames a pack
 * or corrects a setup would make every edition of before differ. Only words are taken over, of the same contender by key, tool and
 * setup, and none that are another contender's: all else is held as it is.
 *
 * `namesOf`: every name that the package knows for a tool.
 */
export function asCalledThen(
  said: readonly StandingsSubject[],
  computed: readonly StandingsSubject[],
  namesOf: (toolId: string) => ReadonlySet<string>,
): { readonly subjects: StandingsSubject[]; readonly renamed: Renamed[] } {
  const saidOf = new Map(said.map(({ contender }) => [contender.key, contender]));
  const ofEdition = computed.filter(({ contender }) => saidOf.has(contender.key));
  const keyByLabel = new Map(ofEdition.map(({ contender: { label, key } }) => [label, key]));
  const renamed: Renamed[] = [];
  const subjects = computed.map((subject) => {
    const now = subject.contender;
    const then = saidOf.get(now.key);
    if (then === undefined) return subject;
    const contender = withWordsOf(then, now);
    const owner = keyByLabel.get(then.label);
    if (
      agreesWith(then, now) ||
      now.toolId === null ||
      then.toolId !== now.toolId ||
      !namesOf(now.toolId).has(then.toolName) ||
      !readsAsItsParts(then) ||
      (owner !== undefined && owner !== now.key)
    ) {
      return subject;
    }
    renamed.push({ then: then.label, now: now.label });
    return { ...subject, contender };
  });
  return { subjects, renamed };
}

/** Of a setup what may be changed without a history: which pack, setting and socket it has, and how the pack is called. */
function withWordsOf(then: Contender, now: Contender): Contender {
  if (then.setup === null || now.setup === null || then.setup.setupId !== now.setup.setupId) {
    return { ...now, label: then.label, toolName: then.toolName };
  }
  const { toolName, packId, packName, packCapacityAh, setting, socket } = then.setup;
  return {
    ...now,
    label: then.label,
    toolName: then.toolName,
    setup: { ...now.setup, toolName, packId, packName, packCapacityAh, setting, socket },
  };
}

/** A label that says other words than the contender itself was never shown. */
function readsAsItsParts({ label, toolName, setup }: Contender): boolean {
  return setup === null ? label === toolName : label === describeSetup(setup) && setup.toolName === toolName;
}

const MOST_NAMED = 5;

export function renamedWords(renamed: readonly Renamed[]): string {
  const named = renamed
    .slice(0, MOST_NAMED)
    .map(({ then, now }) => (then === now ? `“${then}” with another setup` : `“${then}”, “${now}” now`));
  const more = renamed.length - named.length;
  return `Names of packs and setups stand in a package as they are now. ${renamed.length} ${renamed.length === 1 ? 'contender was' : 'contenders were'} called otherwise when the edition was frozen: ${named.join('; ')}${more > 0 ? `; and ${more} more` : ''}.`;
}
