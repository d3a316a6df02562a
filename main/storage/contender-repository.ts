import type { RequestResult } from '../../shared-lib/api-contract.ts';
import type { Contender } from '../../shared-lib/comparison/comparison-model.ts';
import type { ComparedStep } from '../../shared-lib/comparison/trial-measure.ts';
import { describeSetup } from '../../shared-lib/run-sheet/describe-entry.ts';
import type { Tool } from '../../shared-lib/run-sheet/setup-model.ts';
import { setupAsTested } from '../../shared-lib/run-sheet/setup-as-tested.ts';
import { listBenchItems } from './bench-item-repository.ts';
import { type ReadableDatabase, reading } from './database.ts';
import { foldForSearch } from './search-folding.ts';

/** Who is compared and ranked: setups, and names of tools that were pulled without one; merged tools count as one. */
export interface ContenderLookup {
  /** The key under which a trial counts, by its setup or else its folded tool name as they are known now. */
  keyOf(setupId: string | null, toolNameFolded: string): string;
  /** `toolName`: as one of its trials has it, for one that is known by its name only. */
  contenderOf(key: string, toolName: string, isSimulated: boolean): Contender;
  /** The tool that a merged one counts to; itself where it was not merged. */
  toolIdOf(toolId: string): string;
}

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
  const items = listBenchItems(database);
  const merges = listMerges(database);
  const toolIdOf = (toolId: string): string => {
    let resolved = toolId;
    // No ring can be stored; counting makes that no matter of trust.
    for (let step = 0; step <= merges.size; step += 1) resolved = merges.get(resolved) ?? resolved;
    return resolved;
  };

  // Setups that read alike on two entries of one tool are one contender; that of the surviving entry stands for both.
  const canonical = new Map<string, string>();
  const byReading = new Map<string, string>();
  const survivorsFirst = items.setups.toSorted(
    (a, b) => Number(toolIdOf(a.toolId) !== a.toolId) - Number(toolIdOf(b.toolId) !== b.toolId),
  );
  for (const { id, toolId, packId, setting, socket } of survivorsFirst) {
    const resolved = toolIdOf(toolId);
    // Alike setups of one entry, such as an archived one and its successor, stay apart: only a merge makes two one.
    const isMerged = resolved !== toolId;
    const read = JSON.stringify([
      resolved,
      packId,
      foldForSearch(setting),
      socket && foldForSearch(socket.name),
    ]);
    const twin = isMerged ? byReading.get(read) : undefined;
    canonical.set(id, twin ?? id);
    if (!byReading.has(read)) byReading.set(read, id);
  }

  const setupById = new Map(items.setups.map((setup) => [setup.id, setup]));
  const toolById = new Map(items.tools.map((tool) => [tool.id, tool]));
  const toolByName = new Map(
    items.tools.filter(({ isArchived }) => !isArchived).map((tool) => [foldForSearch(tool.name), tool]),
  );
  // A merge puts its tool away; what was pulled under that name counts to the surviving one, unless another has it now.
  const survivorByName = new Map<string, Tool>();
  for (const { id, name } of items.tools) {
    const survivor = toolById.get(toolIdOf(id));
    const folded = foldForSearch(name);
    if (survivor === undefined || survivor.id === id || toolByName.has(folded)) continue;
    survivorByName.set(folded, survivor);
  }
  const survivingName = (folded: string): string => {
    const survivor = survivorByName.get(folded);
    return survivor === undefined ? folded : foldForSearch(survivor.name);
  };

  return {
    toolIdOf,
    keyOf: (setupId, toolNameFolded) =>
      setupId === null
        ? `name:${survivingName(toolNameFolded)}`
        : `setup:${canonical.get(setupId) ?? setupId}`,
    contenderOf(key, toolName, isSimulated) {
      const setup = key.startsWith('setup:') ? setupById.get(key.slice('setup:'.length)) : undefined;
      if (setup === undefined) {
        const survivor = survivorByName.get(foldForSearch(toolName));
        const tool = survivor ?? toolByName.get(foldForSearch(toolName));
        const name = survivor?.name ?? toolName;
        return {
          key,
          label: name,
          toolName: name,
          toolId: tool === undefined ? null : toolIdOf(tool.id),
          setup: null,
          isSimulated,
        };
      }
      const tested = setupAsTested({ ...setup, toolId: toolIdOf(setup.toolId) }, items);
      return {
        key,
        label: tested === null ? toolName : describeSetup(tested),
        toolName: tested?.toolName ?? toolName,
        toolId: toolIdOf(setup.toolId),
        setup: tested,
        isSimulated,
      };
    },
  };
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
        `SELECT shown_setup_id AS setupId, shown_tool_name_folded AS toolNameFolded, score.kind, score.direction,
           planned_s AS plannedS, session_id AS sessionId, is_simulated AS isSimulated, max(started_at) AS lastAt,
           count(*) FILTER (WHERE state = 'kept') AS keptCount
         FROM (SELECT id, session_id, started_at, shown_tool_name_folded, shown_setup_id, state
             FROM trial INDEXED BY trial_by_start WHERE state <> 'recording' AND is_voided = 0) AS listed
           JOIN trial_score AS score ON score.trial_id = listed.id
         GROUP BY shown_setup_id, iif(shown_setup_id IS NULL, shown_tool_name_folded, ''), score.kind,
           score.direction, planned_s, session_id, is_simulated`,
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
