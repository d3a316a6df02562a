import type { Row } from './read-cells.ts';

/** A merge that is not taken in, by the ids of the tools. */
export interface MergeLeftOut {
  readonly toolId: string;
  readonly intoToolId: string;
  /** The tool of here for which more would count; mostly the one that it is merged into. */
  readonly guardedId: string;
}

export interface MergesLeftOut {
  /** Whether a row is such a merge, or takes one back. To be asked in the order of the package. */
  readonly leavesOut: (row: Row) => boolean;
  /** Those that the package does not take back itself. */
  readonly inForce: () => readonly MergeLeftOut[];
}

/**
 * Merges of a package into a tool that is here and did not come from its bench: the ratings, the class and the name of the merged tool
 * would count for that one, and nobody here decided so. `guardedBy`: such a tool, where one that a merge names is it or counts to it.
 */
export function mergesLeftOut(guardedBy: (toolId: string) => string | null): MergesLeftOut {
  const byTool = new Map<string, MergeLeftOut>();
  return {
    leavesOut(row) {
      const toolId = String(row['tool_id']);
      const intoToolId = row['into_tool_id'];
      if (typeof intoToolId !== 'string') return byTool.delete(toolId);
      const guardedId = guardedBy(intoToolId);
      if (guardedId === null) byTool.delete(toolId);
      else byTool.set(toolId, { toolId, intoToolId, guardedId });
      return guardedId !== null;
    },
    inForce: () => [...byTool.values()],
  };
}
