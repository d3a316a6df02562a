import type { Tool } from '../../shared-lib/run-sheet/setup-model.ts';
import { type ReadableDatabase, reading, type WritableDatabase, writing } from './database.ts';

export interface MergeRecord {
  readonly toolId: string;
  /** Null: the merge is taken back. */
  readonly intoToolId: string | null;
  readonly reason: string;
  readonly operator: string;
  readonly at: string;
}

export function insertMerge(database: WritableDatabase, merge: MergeRecord): void {
  writing(database, () => {
    database
      .prepare('INSERT INTO tool_merge (tool_id, into_tool_id, reason, operator, at) VALUES (?, ?, ?, ?, ?)')
      .run(merge.toolId, merge.intoToolId, merge.reason, merge.operator, merge.at);
  });
}

/** All that were ever made and taken back of a tool, oldest first. */
export function listMergeRecords(database: ReadableDatabase, toolId: string): MergeRecord[] {
  return reading(() =>
    database
      .prepare<[string], MergeRecord>(
        `SELECT tool_id AS toolId, into_tool_id AS intoToolId, reason, operator, at FROM tool_merge
         WHERE tool_id = ? ORDER BY id`,
      )
      .all(toolId),
  );
}

/** Whether a tool was put away by its merge of that instant, and not by a person before. */
export function wasPutAwayByMerge(database: ReadableDatabase, { id }: Pick<Tool, 'id'>, at: string): boolean {
  return reading(
    () =>
      database
        .prepare<[string, string]>(
          `SELECT 1 FROM tool_details WHERE tool_id = ? AND at = ? AND tool_json ->> '$.isArchived' = 1`,
        )
        .get(id, at) !== undefined,
  );
}

/** `at`, or the next millisecond after it in which no version of the tool was stored, so that `wasPutAwayByMerge` can tell them apart. */
export function instantForMerge(database: ReadableDatabase, { id }: Pick<Tool, 'id'>, at: string): string {
  return reading(() => {
    const versionAt = database.prepare<[string, string]>(
      'SELECT 1 FROM tool_details WHERE tool_id = ? AND at = ?',
    );
    let instant = at;
    while (versionAt.get(id, instant) !== undefined)
      instant = new Date(Date.parse(instant) + 1).toISOString();
    return instant;
  });
}
