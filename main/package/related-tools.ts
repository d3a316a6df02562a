import { foldName } from '../../shared-lib/catalogue/fold-name.ts';
import type { ReadableDatabase } from '../storage/database.ts';

export interface RelatedTools {
  /** Those that were asked for, and everybody without whom it could not be told whose trials and ratings count to them. */
  readonly toolIds: ReadonlySet<string>;
  /** Those among them that were ever merged: setups of theirs that read alike are one contender, pulled or not. */
  readonly mergedIds: ReadonlySet<string>;
}

/**
 * Tools that hang together: merged into one another in either direction, or called alike. Merges that were taken back and names of
 * before are followed too, since an edition is computed again as things were known then.
 *
 * `toolIds`: where to begin. `names`: of trials, which stand for a tool where there is no setup.
 */
export function relatedTools(
  database: ReadableDatabase,
  { toolIds, names }: { readonly toolIds: readonly string[]; readonly names: readonly string[] },
): RelatedTools {
  const called = database
    .prepare<[], [string, string]>(
      `SELECT id, name FROM tool UNION SELECT tool_id, tool_json ->> '$.name' FROM tool_details`,
    )
    .raw()
    .all()
    .map(([toolId, name]) => ({ toolId, folded: foldName(name) }));
  const merges = database
    .prepare<[], [string, string]>(
      'SELECT DISTINCT tool_id, into_tool_id FROM tool_merge WHERE into_tool_id IS NOT NULL',
    )
    .raw()
    .all();
  const found = new Set(toolIds);
  const foldedNames = new Set(names.map((name) => foldName(name)));
  for (let before = -1; before < found.size;) {
    before = found.size;
    for (const { toolId, folded } of called) if (found.has(toolId)) foldedNames.add(folded);
    for (const { toolId, folded } of called) if (foldedNames.has(folded)) found.add(toolId);
    for (const pair of merges)
      if (pair.some((toolId) => found.has(toolId))) for (const id of pair) found.add(id);
  }
  return { toolIds: found, mergedIds: new Set(merges.flat().filter((toolId) => found.has(toolId))) };
}
