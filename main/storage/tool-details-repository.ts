import { type ToolDetails, toolDetailsSchema } from '../../shared-lib/catalogue/catalogue-model.ts';
import { type Tool, toolSchema } from '../../shared-lib/run-sheet/setup-model.ts';
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

/** Of a tool of which nothing was ever entered. */
export const noDetails: ToolDetails = {
  maker: '',
  model: '',
  toolClass: null,
  driveSize: null,
  lengthM: null,
  massBareKg: null,
  massLoadedKg: null,
  claims: [],
  prices: [],
  note: '',
};

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

export function newestToolVersion(database: ReadableDatabase, toolId: string): ToolVersion | null {
  return reading(() => {
    const row = database
      .prepare<[string], VersionRow>(
        `SELECT id, tool_json, details_json, operator, at FROM tool_details WHERE tool_id = ?
         ORDER BY id DESC LIMIT 1`,
      )
      .get(toolId);
    return row === undefined ? null : toVersion(row);
  });
}

/**
 * How a tool stands from now on, into its history; the table of tools itself is written by `saveTool`. Nothing is written
 * where nothing is another.
 */
export function keepToolVersion(database: WritableDatabase, version: ToolVersion): void {
  const toolJson = toJsonColumn(toolSchema, version.tool);
  const detailsJson = toJsonColumn(toolDetailsSchema, version.details);
  writing(database, () => {
    const newest = database
      .prepare<[string], { tool_json: string; details_json: string }>(
        'SELECT tool_json, details_json FROM tool_details WHERE tool_id = ? ORDER BY id DESC LIMIT 1',
      )
      .get(version.tool.id);
    if (newest?.tool_json === toolJson && newest.details_json === detailsJson) return;
    database
      .prepare(
        'INSERT INTO tool_details (tool_id, tool_json, details_json, operator, at) VALUES (?, ?, ?, ?, ?)',
      )
      .run(version.tool.id, toolJson, detailsJson, version.operator, version.at);
  });
}

function toVersion({ id, tool_json, details_json, operator, at }: VersionRow): ToolVersion {
  return {
    tool: fromJsonColumn(toolSchema, tool_json, `tool of version ${id}`),
    details: fromJsonColumn(toolDetailsSchema, details_json, `details of version ${id}`),
    operator,
    at,
  };
}
