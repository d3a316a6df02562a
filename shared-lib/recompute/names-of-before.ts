import { foldName } from '../catalogue/fold-name.ts';
import { followMerges } from '../catalogue/tools-by-name.ts';
import type { NameRule } from '../comparison/contender-lookup.ts';
import type { Tool } from '../run-sheet/setup-model.ts';

/**
 * Whom a name stood for in earlier versions of the program: of tools with that name the one in use; else the one that any of them,
 * the last by id, was merged into, whoever else had its name.
 */
export const namesOfBefore: NameRule = (tools, merges) => {
  const toolIdOf = followMerges(merges);
  const toolById = new Map(tools.map((tool) => [tool.id, tool]));
  const toolByName = new Map(
    tools.filter(({ isArchived }) => !isArchived).map((tool) => [foldName(tool.name), tool]),
  );
  const survivorByName = new Map<string, Tool>();
  for (const { id, name } of tools) {
    const survivor = toolById.get(toolIdOf(id));
    const folded = foldName(name);
    if (survivor === undefined || survivor.id === id || toolByName.has(folded)) continue;
    survivorByName.set(folded, survivor);
  }
  return { toolByName, survivorByName };
};
