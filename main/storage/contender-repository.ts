import type { Contender } from '../../shared-lib/comparison/comparison-model.ts';
import { describeSetup } from '../../shared-lib/run-sheet/describe-entry.ts';
import { setupAsTested } from '../../shared-lib/run-sheet/setup-as-tested.ts';
import { listBenchItems } from './bench-item-repository.ts';
import { type ReadableDatabase, reading } from './database.ts';
import { foldForSearch } from './search-folding.ts';

/** Who is compared and ranked: setups, and names of tools that were pulled without one; merged tools count as one. */
export interface ContenderLookup {
  /** The key under which a trial counts, by its setup or else its folded tool name as they are known now. */
  keyOf(setupId: string | null, toolNameFolded: string): string;
  /** `toolName`: as one of its trials has it, for one that is known by its name only. */
  contenderOf(key: string, toolName: string, isSimulated: boolean): Contender;
  /** The tool that a merged one counts to; itself where it was not merged. */
  toolIdOf(toolId: string): string;
}

/** Merges in force: the tool and the one it counts to, which may itself be merged. */
export function listMerges(database: ReadableDatabase): ReadonlyMap<string, string> {
  return reading(
    () =>
      new Map(
        database
          .prepare<[], [string, string]>(
            `SELECT tool_id, into_tool_id FROM tool_merge
             WHERE id IN (SELECT max(id) FROM tool_merge GROUP BY tool_id) AND into_tool_id IS NOT NULL`,
          )
          .raw()
          .all(),
      ),
  );
}

export function createContenderLookup(database: ReadableDatabase): ContenderLookup {
  const items = listBenchItems(database);
  const merges = listMerges(database);
  const toolIdOf = (toolId: string): string => {
    let resolved = toolId;
    // No ring can be stored; counting makes that no matter of trust.
    for (let step = 0; step <= merges.size; step += 1) resolved = merges.get(resolved) ?? resolved;
    return resolved;
  };

  // Setups that read alike on two entries of one tool are one contender; that of the surviving entry stands for both.
  const canonical = new Map<string, string>();
  const byReading = new Map<string, string>();
  const survivorsFirst = items.setups.toSorted(
    (a, b) => Number(toolIdOf(a.toolId) !== a.toolId) - Number(toolIdOf(b.toolId) !== b.toolId),
  );
  for (const { id, toolId, packId, setting, socket } of survivorsFirst) {
    const resolved = toolIdOf(toolId);
    // Alike setups of one entry, such as an archived one and its successor, stay apart: only a merge makes two one.
    const isMerged = resolved !== toolId;
    const read = JSON.stringify([
      resolved,
      packId,
      foldForSearch(setting),
      socket && foldForSearch(socket.name),
    ]);
    const twin = isMerged ? byReading.get(read) : undefined;
    canonical.set(id, twin ?? id);
    if (!byReading.has(read)) byReading.set(read, id);
  }

  const setupById = new Map(items.setups.map((setup) => [setup.id, setup]));
  const toolByName = new Map(
    items.tools.filter(({ isArchived }) => !isArchived).map((tool) => [foldForSearch(tool.name), tool]),
  );

  return {
    toolIdOf,
    keyOf: (setupId, toolNameFolded) =>
      setupId === null ? `name:${toolNameFolded}` : `setup:${canonical.get(setupId) ?? setupId}`,
    contenderOf(key, toolName, isSimulated) {
      const setup = key.startsWith('setup:') ? setupById.get(key.slice('setup:'.length)) : undefined;
      if (setup === undefined) {
        const tool = toolByName.get(foldForSearch(toolName));
        return {
          key,
          label: toolName,
          toolName,
          toolId: tool === undefined ? null : toolIdOf(tool.id),
          setup: null,
          isSimulated,
        };
      }
      const tested = setupAsTested({ ...setup, toolId: toolIdOf(setup.toolId) }, items);
      return {
        key,
        label: tested === null ? toolName : describeSetup(tested),
        toolName: tested?.toolName ?? toolName,
        toolId: toolIdOf(setup.toolId),
        setup: tested,
        isSimulated,
      };
    },
  };
}
