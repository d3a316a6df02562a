import type { Tool } from '../run-sheet/setup-model.ts';
import { foldName } from './fold-name.ts';

type NamedTool = Pick<Tool, 'id' | 'name' | 'isArchived'>;

/** The tool that a merged one counts to; itself where it was not merged. `merges`: those in force, the tool and the one it counts to. */
export function followMerges(merges: ReadonlyMap<string, string>): (toolId: string) => string {
  return (toolId) => {
    let resolved = toolId;
    // No ring can be stored; counting makes that no matter of trust.
    for (let step = 0; step <= merges.size; step += 1) resolved = merges.get(resolved) ?? resolved;
    return resolved;
  };
}

/**
 * By folded name, which tool was pulled where a trial has no setup: the one in use that has the name, else the only one that was
 * put away under it. Of several that were put away it is not known whose trials they are, unless all were merged into one tool,
 * which is that one then; such a name is not in the map.
 */
export function toolsByName<Known extends NamedTool>(
  tools: readonly Known[],
  merges: ReadonlyMap<string, string>,
): ReadonlyMap<string, Known> {
  const toolIdOf = followMerges(merges);
  const toolById = new Map(tools.map((tool) => [tool.id, tool]));
  const found = new Map<string, Known>();
  for (const [folded, namesakes] of Map.groupBy(tools, ({ name }) => foldName(name))) {
    const inUse = namesakes.find(({ isArchived }) => !isArchived);
    const [only, ...others] = new Set(namesakes.map(({ id }) => toolIdOf(id)));
    const ofAll = others.length > 0 || only === undefined ? undefined : toolById.get(only);
    const tool = inUse ?? (namesakes.length === 1 ? namesakes[0] : ofAll);
    if (tool !== undefined) found.set(folded, tool);
  }
  return found;
}
