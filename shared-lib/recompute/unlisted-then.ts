import { foldName } from '../catalogue/fold-name.ts';
import type { Contender } from '../comparison/comparison-model.ts';
import type { SubjectEntry } from '../standings/gather-subjects.ts';

const NAME = 'name:';
/** The number of the rules (GATHERING) since which standings look for a name among the tools that were put away. */
export const NAMES_PUT_AWAY_SINCE = 3;

/**
 * Whether an earlier version of the program knew no tool for what was pulled by a name alone, since it did not look among those that
 * were put away.
 */
export function wasUnlistedThen(
  catalogue: readonly SubjectEntry[],
  { key, label, toolName, toolId, setup }: Contender,
): boolean {
  if (toolId !== null || setup !== null || !key.startsWith(NAME)) return false;
  const folded = key.slice(NAME.length);
  const namesakes = catalogue.filter(({ tool }) => foldName(tool.name) === folded);
  return (
    label === toolName &&
    foldName(toolName) === folded &&
    namesakes.length > 0 &&
    namesakes.every(({ tool }) => tool.isArchived)
  );
}

export const UNLISTED_THEN_WORDS =
  'An earlier version of the program did not look for a name among the tools that were put away, and took this one for no tool of the list.';
