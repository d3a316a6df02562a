import { setupAsTestedSchema } from '../../shared-lib/run-sheet/setup-model.ts';
import type { WritableDatabase } from './database.ts';
import { toJsonColumn } from './json-column.ts';
import { prepared } from './recording-statements.ts';
import { foldForSearch, searchText } from './search-folding.ts';
import { setupIn } from './trial-summary.ts';
import { newestAnnotation, newestRelabelling } from './trial-trail.ts';

/**
 * Brings what the list of trials shows and finds of one of them up to what its rows say: how it was named when it began,
 * or is named since, with note and tags. Called within the transaction that changed one of those. Verdict and torque
 * follow by themselves, see form 60.
 */
export function refreshListing(database: WritableDatabase, trialId: string): void {
  const made = prepared<[string], { tool_name: string; setup_json: string | null; role: string | null }>(
    database,
    `SELECT tool_name, setup_json, place_json ->> '$.role' AS role FROM trial WHERE id = ?`,
  ).get(trialId);
  if (!made) throw new Error(`There is no trial ${trialId} to be listed`);
  const named = newestRelabelling(database, trialId) ?? {
    toolName: made.tool_name,
    setup: setupIn(made.setup_json, trialId),
  };
  const { note, tags } = newestAnnotation(database, trialId) ?? { note: '', tags: [] };
  const { toolName, setup } = named;
  prepared(
    database,
    `UPDATE trial SET shown_tool_name = ?, shown_tool_name_folded = ?, shown_setup_json = ?, shown_setup_id = ?, role = ?,
       has_note = ?, tags_json = ?, search_text = ? WHERE id = ?`,
  ).run(
    toolName,
    foldForSearch(toolName),
    setup === null ? null : toJsonColumn(setupAsTestedSchema, setup),
    setup?.setupId ?? null,
    made.role,
    Number(note !== ''),
    JSON.stringify(tags),
    searchText([toolName, setup?.packName, setup?.setting, setup?.socket?.name, note, ...tags]),
    trialId,
  );
  prepared(database, 'DELETE FROM trial_tag WHERE trial_id = ?').run(trialId);
  for (const tag of tags) {
    prepared(database, 'INSERT INTO trial_tag (tag_folded, trial_id, tag) VALUES (?, ?, ?)').run(
      foldForSearch(tag),
      trialId,
      tag,
    );
  }
}
