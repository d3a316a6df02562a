import { foldName } from '../catalogue/fold-name.ts';
import { followMerges, toolsByName } from '../catalogue/tools-by-name.ts';
import { describeSetup } from '../run-sheet/describe-entry.ts';
import { setupAsTested } from '../run-sheet/setup-as-tested.ts';
import type { Pack, Setup, Tool } from '../run-sheet/setup-model.ts';
import type { Contender } from './comparison-model.ts';

/** Tools, packs and setups, archived ones too. */
export interface BenchItems {
  readonly tools: Tool[];
  readonly packs: Pack[];
  readonly setups: Setup[];
}

/** Who is compared and ranked: setups, and names of tools that were pulled without one; merged tools count as one. */
export interface ContenderLookup {
  /** The key under which a trial counts, by its setup or else its folded tool name as they are known now. */
  keyOf(setupId: string | null, toolNameFolded: string): string;
  /** The key by which counts now what a stored one stood for: merges since then are followed. */
  currentKeyOf(key: string): string;
  /** `toolName`: as one of its trials has it, for one that is known by its name only. */
  contenderOf(key: string, toolName: string, isSimulated: boolean): Contender;
  /** The tool that a merged one counts to; itself where it was not merged. */
  toolIdOf(toolId: string): string;
}

/** Tools by folded name. */
interface NamedTools {
  /** Which tool was pulled under a name. */
  readonly toolByName: ReadonlyMap<string, Tool>;
  /** The tool under whose name counts what was pulled under that of one that was merged into it. */
  readonly survivorByName: ReadonlyMap<string, Tool>;
}

/** Whom a name stands for. `merges`: those in force, the tool and the one it counts to. */
export type NameRule = (tools: readonly Tool[], merges: ReadonlyMap<string, string>) => NamedTools;

const SETUP = 'setup:';
const NAME = 'name:';

/**
 * `items`: as they are known at the moment of asking. `merges`: those in force, the tool and the one it counts to. `ruleOfNames`:
 * that of today, or for what is held against rules of before theirs.
 */
export function contenderLookupOf(
  items: BenchItems,
  merges: ReadonlyMap<string, string>,
  ruleOfNames: NameRule = namesOfToday,
): ContenderLookup {
  const toolIdOf = followMerges(merges);

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
    const read = JSON.stringify([resolved, packId, foldName(setting), socket && foldName(socket.name)]);
    const twin = isMerged ? byReading.get(read) : undefined;
    canonical.set(id, twin ?? id);
    if (!byReading.has(read)) byReading.set(read, id);
  }

  const setupById = new Map(items.setups.map((setup) => [setup.id, setup]));
  const { toolByName, survivorByName } = ruleOfNames(items.tools, merges);
  const survivingName = (folded: string): string => {
    const survivor = survivorByName.get(folded);
    return survivor === undefined ? folded : foldName(survivor.name);
  };

  const keyOf = (setupId: string | null, toolNameFolded: string): string =>
    setupId === null ? `name:${survivingName(toolNameFolded)}` : `setup:${canonical.get(setupId) ?? setupId}`;

  return {
    toolIdOf,
    keyOf,
    currentKeyOf: (key) =>
      key.startsWith(SETUP) ? keyOf(key.slice(SETUP.length), '') : keyOf(null, key.slice(NAME.length)),
    contenderOf(key, toolName, isSimulated) {
      const setup = key.startsWith(SETUP) ? setupById.get(key.slice(SETUP.length)) : undefined;
      if (setup === undefined) {
        const survivor = survivorByName.get(foldName(toolName));
        const tool = survivor ?? toolByName.get(foldName(toolName));
        const name = survivor?.name ?? toolName;
        return {
          key,
          label: name,
          toolName: name,
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

/** The name of a merged tool counts under that of the one that stays as long as that name stands for it. */
function namesOfToday(tools: readonly Tool[], merges: ReadonlyMap<string, string>): NamedTools {
  const toolIdOf = followMerges(merges);
  const toolById = new Map(tools.map((tool) => [tool.id, tool]));
  const toolByName = toolsByName(tools, merges);
  const survivorByName = new Map<string, Tool>();
  for (const [folded, { id }] of toolByName) {
    const survivor = toolById.get(toolIdOf(id));
    if (survivor === undefined || foldName(survivor.name) === folded) continue;
    if (toolByName.get(foldName(survivor.name))?.id === survivor.id) survivorByName.set(folded, survivor);
  }
  return { toolByName, survivorByName };
}
