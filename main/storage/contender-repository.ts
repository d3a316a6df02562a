import type { RequestResult } from '../../shared-lib/api-contract.ts';
import { type ContenderLookup, contenderLookupOf } from '../../shared-lib/comparison/contender-lookup.ts';
import type { ComparedStep } from '../../shared-lib/comparison/trial-measure.ts';
import { listBenchItems } from './bench-item-repository.ts';
import { type ReadableDatabase, reading } from './database.ts';

/** Merges in force: the tool and the one it counts to, which may itself be merged. */
export function listMerges(database: ReadableDatabase): ReadonlyMap<string, string> {
  return reading(
    () =>
      new Map(
        database
          .prepare<[], [string, string]>(
            `SELECT tool_id, into_tool_id FROM tool_merge
             WHERE id IN (SELECT max(id) FROM tool_merge GROUP BY tool_id) AND into_tool_id IS NOT NULL`,
          )
          .raw()
          .all(),
      ),
  );
}

export function createContenderLookup(database: ReadableDatabase): ContenderLookup {
  return contenderLookupOf(listBenchItems(database), listMerges(database));
}

interface PulledRow {
  setupId: string | null;
  toolNameFolded: string;
  kind: ComparedStep['kind'];
  direction: ComparedStep['direction'];
  plannedS: number;
  sessionId: string;
  isSimulated: number;
  lastAt: string;
  keptCount: number;
}

/**
 * Everybody with measured trials that are not voided, the newest tested first; each with the steps by which it was pulled, the
 * most pulled first, and the sessions with kept trials of them, the newest first.
 */
export function listContenders(database: ReadableDatabase): RequestResult<'listContenders'> {
  return reading(() => {
    const lookup = createContenderLookup(database);
    const rows = database
      .prepare<[], PulledRow>(
        `SELECT shown_setup_id AS setupId, shown_tool_name_folded AS toolNameFolded, score_group.kind, score_group.direction,
           planned_s AS plannedS, session_id AS sessionId, is_simulated AS isSimulated, max(started_at) AS lastAt,
           count(*) FILTER (WHERE state = 'kept') AS keptCount
         FROM (SELECT id, session_id, started_at, shown_tool_name_folded, shown_setup_id, state
             FROM trial INDEXED BY trial_by_start WHERE state <> 'recording' AND is_voided = 0) AS listed
           JOIN trial_score AS score ON score.trial_id = listed.id JOIN score_group ON score_group.id = group_id
         GROUP BY shown_setup_id, iif(shown_setup_id IS NULL, shown_tool_name_folded, ''), score_group.kind,
           score_group.direction, planned_s, session_id, is_simulated`,
      )
      .all();
    const byKey = Map.groupBy(rows, ({ setupId, toolNameFolded }) => lookup.keyOf(setupId, toolNameFolded));
    const nameAt = database
      .prepare<[string, string], string>(
        'SELECT shown_tool_name FROM trial WHERE started_at = ? AND shown_tool_name_folded = ? LIMIT 1',
      )
      .pluck();
    const contenders = [...byKey].map(([key, pulled]) => {
      const newest = pulled.reduce((last, row) => (row.lastAt > last.lastAt ? row : last));
      // Copied beside each setup in use; a name alone, or a setup that is gone, is read from the trial.
      const toolName = nameAt.get(newest.lastAt, newest.toolNameFolded) ?? newest.toolNameFolded;
      const isSimulated = pulled.every((row) => row.isSimulated === 1);
      return {
        ...lookup.contenderOf(key, toolName, isSimulated),
        lastTestedAt: newest.lastAt,
        steps: stepsOf(pulled),
      };
    });
    const sessionIds = new Set(rows.map(({ sessionId }) => sessionId));
    return {
      contenders: contenders.toSorted((a, b) =>
        a.lastTestedAt < b.lastTestedAt
          ? 1
          : a.lastTestedAt > b.lastTestedAt
            ? -1
            : a.label < b.label
              ? -1
              : 1,
      ),
      sessions: database
        .prepare<[], RequestResult<'listContenders'>['sessions'][number]>(
          'SELECT id, started_at AS startedAt, operator FROM session ORDER BY started_at DESC, id DESC',
        )
        .all()
        .filter(({ id }) => sessionIds.has(id)),
    };
  });
}

function stepsOf(
  pulled: readonly PulledRow[],
): RequestResult<'listContenders'>['contenders'][number]['steps'] {
  const steps = Map.groupBy(pulled, ({ kind, direction, plannedS }) =>
    JSON.stringify([kind, direction, plannedS]),
  );
  return [...steps.values()]
    .flatMap((rows) => {
      const [row] = rows;
      if (row === undefined) return [];
      const { kind, direction, plannedS } = row;
      const newestFirst = rows
        .filter(({ keptCount }) => keptCount > 0)
        .toSorted((a, b) => (a.lastAt < b.lastAt ? 1 : a.lastAt > b.lastAt ? -1 : 0));
      return {
        step: { kind, direction, plannedS },
        keptCount: rows.reduce((sum, { keptCount }) => sum + keptCount, 0),
        sessionIds: [...new Set(newestFirst.map(({ sessionId }) => sessionId))],
      };
    })
    .toSorted((a, b) => b.keptCount - a.keptCount || a.step.plannedS - b.step.plannedS);
}
