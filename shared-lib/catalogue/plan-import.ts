import type { CatalogueTool } from './catalogue-model.ts';
import type { ImportRow } from './catalogue-requests.ts';
import { describeToolChanges } from './describe-tool-changes.ts';
import { findTwins } from './find-twins.ts';
import { foldName } from './fold-name.ts';
import type { CatalogueTable, FileTool } from './read-catalogue-table.ts';
import { checkToolEntry, claimPlace, noDetails, pricePlace, type ToolEntry } from './tool-entry.ts';

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
  const planned = table.tools.map((read) => ({ read, outcome: planTool(read, catalogue, newId) }));
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

function planTool(read: FileTool, catalogue: readonly CatalogueTool[], newId: () => string): Outcome {
  const known = findKnown(read, catalogue);
  const {
    supply = known?.tool.supply,
    isArchived,
    declaredVibrationMps2,
    declaredNoiseDbA,
    ...fields
  } = read.fields;
  const problems = [...read.problems];
  if (known?.mergedIntoToolId != null) {
    const into = catalogue.find(({ tool }) => tool.id === known.mergedIntoToolId)?.tool.name ?? '';
    problems.push(
      `Line ${read.line}: “${known.tool.name}” was merged into “${into}”. Write it under that name, or take the merge back first.`,
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

/** By id; else the one in use of that name; else the only one that was put away under it. */
function findKnown(
  { toolId, name }: FileTool,
  catalogue: readonly CatalogueTool[],
): CatalogueTool | undefined {
  const byId = catalogue.find(({ tool }) => tool.id === toolId);
  if (byId !== undefined) return byId;
  const namesakes = catalogue.filter(({ tool }) => foldName(tool.name) === foldName(name));
  return (
    namesakes.find(({ tool }) => !tool.isArchived) ?? (namesakes.length === 1 ? namesakes[0] : undefined)
  );
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
