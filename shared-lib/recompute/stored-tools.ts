import {
  type HandlingRating,
  handlingRatingSchema,
  type ToolDetails,
  toolDetailsSchema,
} from '../catalogue/catalogue-model.ts';
import { foldName } from '../catalogue/fold-name.ts';
import { newestOfEachRater, takenInBy } from '../catalogue/standing-ratings.ts';
import { noDetails } from '../catalogue/tool-entry.ts';
import { type BenchItems, type ContenderLookup, contenderLookupOf } from '../comparison/contender-lookup.ts';
import { packSchema, setupSchema, socketSchema, type Tool, toolSchema } from '../run-sheet/setup-model.ts';
import type { SubjectEntry } from '../standings/gather-subjects.ts';
import { namesOfBefore } from './names-of-before.ts';
import { NotAPackage } from './not-a-package.ts';
import { inOrderOfIds, type PackageTables } from './read-tables.ts';
import { reasonOf, type TableRow } from './table-row.ts';

/** Tools and setups of a package as they were known at an instant. */
export interface StoredTools {
  readonly contenders: ContenderLookup;
  /** As versions of the program looked them up that knew names of tools in use only. */
  readonly contendersOfBefore: () => ContenderLookup;
  /** Every tool by name, archived and merged ones too. */
  readonly catalogue: readonly SubjectEntry[];
  has(toolId: string): boolean;
  /** Every name that the package knows for a tool, at whatever time. */
  readonly namesOf: (toolId: string) => ReadonlySet<string>;
}

/**
 * Names, setups and packs that were changed without a history stand as they are now; what was entered of a tool has one. The row of a
 * tool is its newest version, but for the name that an import gave to one whose name was taken: that stands in the row alone.
 *
 * `asOf`: an instant; null: now. Errors: NotAPackage.
 */
export function readTools(tables: PackageTables, asOf: string | null): StoredTools {
  const isThere = (row: TableRow): boolean => asOf === null || row.text('at') <= asOf;
  const details = tables.by('tool_details', 'tool_id');
  const newestOf = (toolId: string): TableRow | undefined => details.get(toolId)?.findLast(isThere);
  const rows = tables.rows('tool').filter((row) => {
    const versions = details.get(row.text('id')) ?? [];
    // Entered later than that: it was not there yet.
    return versions.length === 0 || versions.some(isThere);
  });
  const tools = rows
    .map((row) => {
      const newest = newestOf(row.text('id'));
      const isAsNow = newest === details.get(row.text('id'))?.at(-1);
      return newest === undefined || isAsNow ? toTool(row) : newest.json('tool_json', toolSchema);
    })
    .toSorted((a, b) => compare(foldName(a.name), foldName(b.name)) || compare(a.id, b.id));
  const items = readItems(tables, tools);
  const merges = new Map<string, string>();
  for (const row of inOrderOfIds(tables.rows('tool_merge')).filter(isThere)) {
    const into = row.textOrNull('into_tool_id');
    if (into === null) merges.delete(row.text('tool_id'));
    else merges.set(row.text('tool_id'), into);
  }
  const ratings = readRatings(tables, isThere);
  const takenIn = takenInBy(merges);
  const ids = new Set(tools.map(({ id }) => id));
  return {
    contenders: contenderLookupOf(items, merges),
    contendersOfBefore: () => contenderLookupOf(items, merges, namesOfBefore),
    has: (toolId) => ids.has(toolId),
    namesOf: (toolId) =>
      new Set([
        ...tables.rows('tool').flatMap((row) => (row.text('id') === toolId ? row.text('name') : [])),
        ...(details.get(toolId) ?? []).map((row) => row.json('tool_json', toolSchema).name),
      ]),
    catalogue: tools.map((tool) => {
      const own = new Set([tool.id, ...(takenIn.get(tool.id) ?? [])]);
      return {
        tool,
        details: detailsOf(newestOf(tool.id)),
        ratings: newestOfEachRater(ratings.filter(({ toolId }) => own.has(toolId))),
        mergedIntoToolId: merges.get(tool.id) ?? null,
        // Whether it was tested is asked of the trials.
        trialCount: 1,
      };
    }),
  };
}

function detailsOf(row: TableRow | undefined): ToolDetails {
  return row === undefined ? noDetails : row.json('details_json', toolDetailsSchema);
}

function compare(a: string, b: string): number {
  return a < b ? -1 : Number(a > b);
}

interface Schema<Value> {
  safeParse(value: unknown): { success: true; data: Value } | { success: false; error: Error };
}

function checked<Value>(schema: Schema<Value>, value: unknown, { where }: TableRow): Value {
  const read = schema.safeParse(value);
  if (!read.success) throw new NotAPackage(where, reasonOf(read.error));
  return read.data;
}

function toTool(row: TableRow): Tool {
  return checked(
    toolSchema,
    {
      id: row.text('id'),
      name: row.text('name'),
      supply: row.text('supply'),
      declaredVibrationMps2: row.numberOrNull('declared_vibration_mps2'),
      declaredNoiseDbA: row.numberOrNull('declared_noise_dba'),
      isArchived: row.flag('is_archived'),
    },
    row,
  );
}

/** In the order in which the program has them, by which one of two setups that read alike stands for both. */
function readItems(tables: PackageTables, tools: Tool[]): BenchItems {
  const packs = tables.rows('pack').map((row) =>
    checked(
      packSchema,
      {
        id: row.text('id'),
        name: row.text('name'),
        nominalV: row.numberOrNull('nominal_v'),
        capacityAh: row.numberOrNull('capacity_ah'),
        isArchived: row.flag('is_archived'),
      },
      row,
    ),
  );
  const toolName = new Map(tools.map(({ id, name }) => [id, foldName(name)]));
  const packName = new Map(packs.map(({ id, name }) => [id, foldName(name)]));
  const setups = tables.rows('setup').map((row) =>
    checked(
      setupSchema,
      {
        id: row.text('id'),
        toolId: row.text('tool_id'),
        packId: row.textOrNull('pack_id'),
        setting: row.text('setting'),
        socket: row.jsonOrNull('socket_json', socketSchema),
        isArchived: row.flag('is_archived'),
      },
      row,
    ),
  );
  return {
    tools,
    packs,
    setups: setups.toSorted(
      (a, b) =>
        compare(toolName.get(a.toolId) ?? '', toolName.get(b.toolId) ?? '') ||
        compare(packName.get(a.packId ?? '') ?? '', packName.get(b.packId ?? '') ?? '') ||
        compare(a.setting, b.setting) ||
        compare(a.id, b.id),
    ),
  };
}

/** Those that were not withdrawn, the newest last. */
function readRatings(tables: PackageTables, isThere: (row: TableRow) => boolean): HandlingRating[] {
  const withdrawn = new Set(
    tables
      .rows('rating_withdrawal')
      .filter(isThere)
      .map((row) => row.number('rating_id')),
  );
  return inOrderOfIds(tables.rows('handling_rating'))
    .filter((row) => isThere(row) && !withdrawn.has(row.number('id')))
    .map((row) =>
      checked(
        handlingRatingSchema,
        {
          id: row.number('id'),
          toolId: row.text('tool_id'),
          rater: row.text('rater'),
          score: row.number('score'),
          isBlind: row.flag('is_blind'),
          note: row.text('note'),
          at: row.text('at'),
        },
        row,
      ),
    );
}
