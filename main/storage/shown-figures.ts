import { foldName } from '../../shared-lib/catalogue/fold-name.ts';
import { createContenderLookup } from './contender-repository.ts';
import { type ReadableDatabase, reading } from './database.ts';
import { trialNotFound } from './recording-repository.ts';

interface Label {
  readonly setupId: string | null;
  readonly toolNameFolded: string;
}

/**
 * The tool of this trial as it is known now (null: none, or not known which), and whether figures of it have been shown by another
 * trial: one that was kept once, whatever became of it since, under whatever name the tool or one merged into it was known. A
 * conditioning pull of the same session does not count, since its figures are held back until the tool is rated.
 *
 * Errors: AppError 'trial-not-found'.
 */
export function readFiguresShown(
  database: ReadableDatabase,
  trialId: string,
): { readonly toolId: string | null; readonly wereFiguresShown: boolean } {
  return reading(() => {
    const own = database
      .prepare<[string], Label & { readonly sessionId: string }>(
        `SELECT shown_setup_id AS setupId, shown_tool_name_folded AS toolNameFolded, session_id AS sessionId
         FROM trial WHERE id = ?`,
      )
      .get(trialId);
    if (!own) throw trialNotFound(trialId);
    // A void leaves the state as it was.
    const others = database
      .prepare<[string, string], Label>(
        `SELECT DISTINCT shown_setup_id AS setupId, shown_tool_name_folded AS toolNameFolded
         FROM trial INDEXED BY trial_by_start
         WHERE state = 'kept' AND id <> ? AND NOT (role IS 'conditioning' AND session_id = ?)`,
      )
      .all(trialId, own.sessionId);
    const lookup = createContenderLookup(database);
    const knownToolId = ({ setupId, toolNameFolded }: Label): string | null =>
      lookup.contenderOf(lookup.keyOf(setupId, toolNameFolded), toolNameFolded, false).toolId;
    const wanted = knownToolId(own);
    if (wanted === null) {
      const wereFiguresShown = others.some(({ toolNameFolded }) => toolNameFolded === own.toolNameFolded);
      return { toolId: null, wereFiguresShown };
    }
    const formerNames = formerNamesOf(database, (toolId) => lookup.toolIdOf(toolId) === wanted);
    const wereFiguresShown = others.some((label) => {
      const toolId = knownToolId(label);
      return toolId === null ? formerNames.has(label.toolNameFolded) : toolId === wanted;
    });
    return { toolId: wanted, wereFiguresShown };
  });
}

/** Folded. What was pulled under a name alone keeps it when the tool is renamed. */
function formerNamesOf(
  database: ReadableDatabase,
  isWanted: (toolId: string) => boolean,
): ReadonlySet<string> {
  return new Set(
    database
      .prepare<[], { readonly toolId: string; readonly name: string }>(
        `SELECT DISTINCT tool_id AS toolId, tool_json ->> '$.name' AS name FROM tool_details`,
      )
      .all()
      .filter(({ toolId }) => isWanted(toolId))
      .map(({ name }) => foldName(name)),
  );
}
