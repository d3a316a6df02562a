import { AppError } from '../../shared-lib/app-error.ts';
import { type ToolDetails, toolDetailsSchema } from '../../shared-lib/catalogue/catalogue-model.ts';
import { noDetails } from '../../shared-lib/catalogue/tool-entry.ts';
import { type Tool, toolSchema } from '../../shared-lib/run-sheet/setup-model.ts';
import { listBenchItems, saveTool } from './bench-item-repository.ts';
import { listMerges } from './contender-repository.ts';
import { type ReadableDatabase, reading, type WritableDatabase, writing } from './database.ts';
import { fromJsonColumn, toJsonColumn } from './json-column.ts';

/** A tool as it was known from an instant on. */
export interface ToolVersion {
  readonly tool: Tool;
  readonly details: ToolDetails;
  readonly operator: string;
  readonly at: string;
}

interface VersionRow {
  id: number;
  tool_json: string;
  details_json: string;
  operator: string;
  at: string;
}

/** By id of tool; none for a tool of which nothing was ever entered. */
export function listToolDetails(database: ReadableDatabase): ReadonlyMap<string, ToolDetails> {
  return reading(
    () =>
      new Map(
        database
          .prepare<[], { tool_id: string; details_json: string }>(
            `SELECT tool_id, details_json FROM tool_details
             WHERE id IN (SELECT max(id) FROM tool_details GROUP BY tool_id)`,
          )
          .all()
          .map(({ tool_id, details_json }) => [
            tool_id,
            fromJsonColumn(toolDetailsSchema, details_json, `details of tool ${tool_id}`),
          ]),
      ),
  );
}

/** Oldest first. */
export function listToolVersions(database: ReadableDatabase, toolId: string): ToolVersion[] {
  return reading(() =>
    database
      .prepare<[string], VersionRow>(
        'SELECT id, tool_json, details_json, operator, at FROM tool_details WHERE tool_id = ? ORDER BY id',
      )
      .all(toolId)
      .map(toVersion),
  );
}

/**
 * Stores a tool, new or changed, with its details, and how it stands from now on in its history; nothing is added there
 * where nothing is another. `details` left out: they stay.
 *
 * Errors: those of `saveTool`; AppError 'invalid-request' where a tool that is merged into another one would be in use.
 */
export function saveToolVersion(
  database: WritableDatabase,
  { tool, details }: { readonly tool: Tool; readonly details?: ToolDetails },
  by: { readonly operator: string; readonly at: string },
): void {
  writing(database, () => {
    if (!tool.isArchived) refuseMergedInUse(database, tool.id);
    saveTool(database, tool);
    const newest = database
      .prepare<[string], VersionRow>(
        `SELECT id, tool_json, details_json, operator, at FROM tool_details WHERE tool_id = ?
         ORDER BY id DESC LIMIT 1`,
      )
      .get(tool.id);
    const toolJson = toJsonColumn(toolSchema, tool);
    const detailsJson =
      details === undefined
        ? (newest?.details_json ?? toJsonColumn(toolDetailsSchema, noDetails))
        : toJsonColumn(toolDetailsSchema, details);
    if (newest?.tool_json === toolJson && newest.details_json === detailsJson) return;
    database
      .prepare(
        'INSERT INTO tool_details (tool_id, tool_json, details_json, operator, at) VALUES (?, ?, ?, ?, ?)',
      )
      .run(tool.id, toolJson, detailsJson, by.operator, by.at);
  });
}

/** Its trials count to another one, and nobody could tell beside that one what is its own. */
function refuseMergedInUse(database: ReadableDatabase, toolId: string): void {
  const into = listMerges(database).get(toolId);
  if (into === undefined) return;
  const name = listBenchItems(database).tools.find(({ id }) => id === into)?.name ?? '';
  throw new AppError(
    'invalid-request',
    `This entry was merged into “${name}”, so it cannot be in use beside it. Nothing was stored. Take the merge back first.`,
    { toolId, intoToolId: into },
  );
}

function toVersion({ id, tool_json, details_json, operator, at }: VersionRow): ToolVersion {
  return {
    tool: fromJsonColumn(toolSchema, tool_json, `tool of version ${id}`),
    details: fromJsonColumn(toolDetailsSchema, details_json, `details of version ${id}`),
    operator,
    at,
  };
}
