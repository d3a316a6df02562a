import { createComparisonParts } from '../../../main/comparison/comparison-parts.ts';
import { writePackage } from '../../../main/package/write-package.ts';
import { createStandingsParts } from '../../../main/standings/standings-parts.ts';
import { createTableReader } from '../../../main/standings/read-table.ts';
import { getEdition } from '../../../main/storage/edition-repository.ts';
import type { WritableDatabase } from '../../../main/storage/database.ts';
import { measureAnew } from '../../../main/storage/measure-anew.ts';
import type { RequestParams } from '../../../shared-lib/api-contract.ts';
import { COMPARING } from '../../../shared-lib/comparison/compare-chosen.ts';

/** The day on which everything here is published. */
export const publishedAt = '2026-04-03T09:00:00.000Z';

const clock = { now: () => new Date(publishedAt), monotonicUs: () => 0 };

function tools(database: WritableDatabase) {
  return {
    database,
    clock,
    softwareVersion: 'test',
    operator: () => 'Demo operator',
    emit: () => undefined,
  };
}

export interface Published {
  readonly fileName: string;
  readonly json: string;
}

export interface WhatToPublish {
  readonly comparisons: readonly RequestParams<'compare'>[];
  readonly tableIds: readonly string[];
  /** Of which the newest edition goes with it. */
  readonly editionsOf: readonly string[];
}

const tighten = (plannedS: number) => ({ kind: 'tighten', direction: 'forward', plannedS }) as const;

export function askedOf(
  a: string,
  b: string,
  more: Partial<RequestParams<'compare'>> = {},
): RequestParams<'compare'> {
  return {
    step: tighten(5),
    measure: { figure: 'sustainedTorque' },
    a: `setup:setup-demo-${a}`,
    b: `setup:setup-demo-${b}`,
    sessionIds: null,
    isForced: false,
    ...more,
  };
}

/** Of each kind something: within a session, across sessions, at levels that nobody asked for before. */
export const allOfDemo: WhatToPublish = {
  comparisons: [
    askedOf('tarnwick-t6', 'hollin-h5'),
    askedOf('ostrel-o6', 'hollin-h5', { measure: { figure: 'timeTo90Percent' } }),
    askedOf('tarnwick-t6', 'brindlow-b4', {
      measure: { figure: 'timeToLevel', levelNm: 123 },
      sessionIds: ['demo-session-1', 'demo-session-3'],
    }),
    askedOf('hollin-h5', 'brindlow-b4', { step: tighten(15) }),
  ],
  tableIds: ['demo-table-half-inch', 'demo-table-all'],
  editionsOf: ['demo-table-half-inch'],
};

/** What the program publishes, by its own parts. */
export async function publish(database: WritableDatabase, what: WhatToPublish): Promise<Published[]> {
  const comparisons = createComparisonParts({
    ...tools(database),
    writer: {
      // As the writer's thread does it, here at once.
      perform: (async (command: { trialId: string; assumed: Parameters<typeof measureAnew>[3] }) => ({
        figures: measureAnew(database, command.trialId, [], command.assumed),
      })) as never,
      close: () => Promise.resolve(),
    },
    qualityGate: () => 'goodAndLook',
    isTrialUnderWay: () => false,
  });
  const files: Published[] = [];
  const add = (fileName: string, content: unknown): void => {
    files.push({ fileName, json: `${JSON.stringify(content, null, 1)}\n` });
  };
  for (const [index, asked] of what.comparisons.entries()) {
    const { result, notComparable } = await comparisons.handlers.compare(asked);
    if (result === null) throw new Error(`Not comparable: ${notComparable?.reasons.join(' ') ?? ''}`);
    add(`comparison-${index + 1}.json`, { asked, comparison: result, comparing: COMPARING });
  }
  const parts = createStandingsParts(tools(database));
  try {
    const reader = createTableReader({ database, clock });
    for (const [index, tableId] of what.tableIds.entries()) {
      const { standings, input } = reader.stateOf(tableId);
      const placeRanges = await parts.handlers.getPlaceRanges({ tableId });
      add(`standings-${index + 1}.json`, { standings, placeRanges, input });
    }
    for (const [index, tableId] of what.editionsOf.entries()) {
      const { editions } = await parts.handlers.listEditions({ tableId });
      add(`edition-${index + 1}.json`, getEdition(database, editions[0]?.id ?? ''));
    }
  } finally {
    parts.close();
  }
  return files;
}

export async function packDemo(to: {
  readonly databasePath: string;
  readonly targetFile: string;
  readonly recomputeFile: string;
  readonly published: readonly Published[];
  readonly trialIds?: readonly string[];
}): Promise<void> {
  const isEverything = to.trialIds === undefined;
  await writePackage(
    {
      databasePath: to.databasePath,
      targetFile: to.targetFile,
      madeAt: publishedAt,
      softwareVersion: 'test',
      bench: { id: 'bench-demo', name: 'Bench 1 (demo)' },
      subject: isEverything ? 'Everything that is stored' : 'Some trials',
      trialIds: to.trialIds ?? [],
      calibrationIds: [],
      toolIds: [],
      isEverything,
      isSimulated: true,
      published: to.published,
      withPhotos: false,
      licence: 'CC0-1.0',
      recomputeFile: to.recomputeFile,
    },
    {
      progress: () => undefined,
      pause: () => new Promise((resolve) => setImmediate(resolve)),
    },
  );
}
