import type { CatalogueTool } from './catalogue-model.ts';
import type { ImportRow } from './catalogue-requests.ts';
import { describeToolChanges } from './describe-tool-changes.ts';
import { findTwins } from './find-twins.ts';
import { foldName } from './fold-name.ts';
import type { CatalogueTable, FileTool } from './read-catalogue-table.ts';
import { checkToolEntry, claimPlace, noDetails, pricePlace, type ToolEntry } from './tool-entry.ts';
import { followMerges, toolsByName } from './tools-by-name.ts';

export interface ImportPlan {
  /** One for each tool of the file, and for each line that belongs to none. By line. */
  readonly rows: ImportRow[];
  /** What is to be stored, if no row is refused. */
  readonly entries: readonly ToolEntry[];
  readonly newCount: number;
  readonly changedCount: number;
}

type Outcome =
  { readonly problems: readonly string[] } | { readonly entry: ToolEntry; readonly before: ToolEntry | null };

/**
 * What a file would do to the catalogue. A tool is found by its id, else by its name; what the file has no column for stays
 * as it is, an empty cell clears. `newId` makes ids for what is new.
 */
export function planImport(
  table: CatalogueTable,
  catalogue: readonly CatalogueTool[],
  newId: () => string,
): ImportPlan {
  const findKnown = knownToolsOf(catalogue);
  const planned = table.tools.map((read) => ({
    read,
    outcome: planTool(read, findKnown(read), catalogue, newId),
  }));
  const twins = twinRemarks(
    planned.flatMap(({ outcome }) => ('entry' in outcome ? [outcome.entry] : [])),
    catalogue,
  );
  const entries: ToolEntry[] = [];
  const linesOfId = new Map<string, number>();
  const linesOfName = new Map<string, number>();
  const rows: ImportRow[] = [...Map.groupBy(table.problems, ({ line }) => line)].map(([line, problems]) =>
    refused(
      line,
      '',
      problems.map(({ problem }) => problem),
    ),
  );
  let newCount = 0;
  for (const { read, outcome } of planned) {
    if ('problems' in outcome) {
      rows.push(refused(read.line, read.name, outcome.problems));
      continue;
    }
    const { entry, before } = outcome;
    const twinLine =
      linesOfId.get(entry.tool.id) ??
      (entry.tool.isArchived ? undefined : linesOfName.get(foldName(entry.tool.name)));
    if (twinLine !== undefined) {
      const problem = `Line ${read.line} is the same tool as line ${twinLine}. Put it there once, or give two tools two names.`;
      rows.push(refused(read.line, read.name, [problem]));
      continue;
    }
    linesOfId.set(entry.tool.id, read.line);
    if (!entry.tool.isArchived) linesOfName.set(foldName(entry.tool.name), read.line);
    const changes = describeToolChanges(before, entry);
    const isSame = before !== null && changes.length === 0;
    rows.push({
      line: read.line,
      name: read.name,
      outcome: before === null ? 'new' : isSame ? 'same' : 'changed',
      remarks: [...changes, ...(before === null ? (twins.get(entry.tool.id) ?? []) : [])],
    });
    if (before === null) newCount += 1;
    if (!isSame) entries.push(entry);
  }
  return {
    rows: rows.toSorted((a, b) => a.line - b.line),
    entries,
    newCount,
    changedCount: entries.length - newCount,
  };
}

function planTool(
  read: FileTool,
  { known, merged }: KnownTool,
  catalogue: readonly CatalogueTool[],
  newId: () => string,
): Outcome {
  const {
    supply = known?.tool.supply,
    isArchived,
    declaredVibrationMps2,
    declaredNoiseDbA,
    ...fields
  } = read.fields;
  const problems = [...read.problems];
  if (merged !== null) {
    problems.push(
      `Line ${read.line}: “${merged.name}” was merged into “${merged.into}”. Write it under that name, or take the merge back first.`,
    );
  }
  if (supply === undefined) {
    problems.push(
      `Line ${read.line}, column supply: a new tool needs one. Write battery, mains, air or hand.`,
    );
  }
  if (problems.length > 0 || supply === undefined) return { problems };

  const old = known?.details ?? noDetails;
  const tool = {
    id: known?.tool.id ?? read.toolId ?? newId(),
    name: read.name,
    supply,
    declaredVibrationMps2:
      declaredVibrationMps2 === undefined
        ? (known?.tool.declaredVibrationMps2 ?? null)
        : declaredVibrationMps2,
    declaredNoiseDbA:
      declaredNoiseDbA === undefined ? (known?.tool.declaredNoiseDbA ?? null) : declaredNoiseDbA,
    isArchived: isArchived ?? known?.tool.isArchived ?? false,
  };
  const entry: ToolEntry = {
    tool,
    details: {
      ...old,
      ...fields,
      claims: read.claims === null ? old.claims : giveIds(read.claims, old.claims, claimPlace, newId),
      prices: read.prices === null ? old.prices : giveIds(read.prices, old.prices, pricePlace, newId),
    },
  };
  problems.push(...checkToolEntry(entry).map((problem) => `Line ${read.line}: ${problem}`));
  if (entry.details.claims.length > 20) problems.push(`Line ${read.line}: a tool has at most 20 claims.`);
  if (entry.details.prices.length > 200) problems.push(`Line ${read.line}: a tool has at most 200 prices.`);
  const namesake = catalogue.find(
    (other) =>
      other.tool.id !== tool.id &&
      !other.tool.isArchived &&
      foldName(other.tool.name) === foldName(tool.name),
  );
  if (!tool.isArchived && namesake !== undefined) {
    problems.push(
      `Line ${read.line}, column name: there is another tool “${namesake.tool.name}” already. Give this one a name of its own, or clear its tool_id to mean that one.`,
    );
  }
  return problems.length > 0 ? { problems } : { entry, before: known ?? null };
}

interface KnownTool {
  readonly known: CatalogueTool | undefined;
  /** Set where the file means a tool that was merged into another one. */
  readonly merged: { readonly name: string; readonly into: string } | null;
}

/** By id, else by name as everywhere. */
function knownToolsOf(catalogue: readonly CatalogueTool[]): (read: FileTool) => KnownTool {
  const merges = new Map(
    catalogue.flatMap(({ tool, mergedIntoToolId }) =>
      mergedIntoToolId === null ? [] : [[tool.id, mergedIntoToolId] as const],
    ),
  );
  const entryOf = new Map(catalogue.map((entry) => [entry.tool.id, entry]));
  const survivorIdOf = followMerges(merges);
  const byName = toolsByName(
    catalogue.map(({ tool }) => tool),
    merges,
  );
  return ({ toolId, name }) => {
    const byId = toolId === null ? undefined : entryOf.get(toolId);
    const known = byId ?? entryOf.get(byName.get(foldName(name))?.id ?? '');
    if (known === undefined) return { known, merged: null };
    const survivor = entryOf.get(survivorIdOf(known.tool.id)) ?? known;
    // Of several that were merged into one the name leads to that one, which is not to be called after them.
    const isOfItsName = byId !== undefined || foldName(known.tool.name) === foldName(name);
    if (survivor === known && isOfItsName) return { known, merged: null };
    return { known, merged: { name: isOfItsName ? known.tool.name : name, into: survivor.tool.name } };
  };
}

/** What stands there unchanged keeps its id; so does what only says something else in the same place. */
function giveIds<Item extends object>(
  items: readonly Item[],
  known: readonly (Item & { readonly id: string })[],
  placeOf: (item: Item) => string,
  newId: () => string,
): (Item & { id: string })[] {
  const free = new Map(known.map((item) => [placeOf(item), item.id]));
  return items.map((item) => {
    const place = placeOf(item);
    const id = free.get(place);
    free.delete(place);
    return { ...item, id: id ?? newId() };
  });
}

/** By id of a new tool, which others it may be. */
function twinRemarks(
  entries: readonly ToolEntry[],
  catalogue: readonly CatalogueTool[],
): ReadonlyMap<string, readonly string[]> {
  const known = new Set(catalogue.map(({ tool }) => tool.id));
  const added = entries.filter(({ tool }) => !known.has(tool.id));
  const all = [...catalogue, ...added.map((entry) => ({ ...entry, mergedIntoToolId: null }))];
  const remarks = new Map<string, string[]>();
  for (const { toolIds, because } of findTwins(all)) {
    for (const id of toolIds.filter((toolId) => !known.has(toolId))) {
      remarks.set(id, [...(remarks.get(id) ?? []), `Perhaps it is there already: ${because}`]);
    }
  }
  return remarks;
}

function refused(line: number, name: string, remarks: readonly string[]): ImportRow {
  return { line, name, outcome: 'refused', remarks: [...remarks] };
}
