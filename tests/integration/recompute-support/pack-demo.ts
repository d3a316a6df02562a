import { createComparisonParts } from '../../../main/comparison/comparison-parts.ts';
import { writePackage } from '../../../main/package/write-package.ts';
import { createStandingsParts } from '../../../main/standings/standings-parts.ts';
import { createTableReader } from '../../../main/standings/read-table.ts';
import { getEdition } from '../../../main/storage/edition-repository.ts';
import type { WritableDatabase } from '../../../main/storage/database.ts';
import { measureAnew } from '../../../main/storage/measure-anew.ts';
import type { RequestParams } from '../../../shared-lib/api-contract.ts';

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

/** What the program publishes of the demo workshop, by its own parts: two comparisons, a table and its edition. */
export async function publishedOfDemo(database: WritableDatabase): Promise<Published[]> {
  const asked = (a: string, b: string, more: Partial<RequestParams<'compare'>> = {}) => ({
    step: { kind: 'tighten' as const, direction: 'forward' as const, plannedS: 5 },
    measure: { figure: 'sustainedTorque' as const },
    a: `setup:setup-demo-${a}`,
    b: `setup:setup-demo-${b}`,
    sessionIds: null,
    isForced: false,
    ...more,
  });
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
  const compared = [
    ['comparison.json', asked('tarnwick-t6', 'hollin-h5')],
    ['comparison-2.json', asked('ostrel-o6', 'hollin-h5', { measure: { figure: 'timeTo90Percent' } })],
    [
      'comparison-3.json',
      asked('tarnwick-t6', 'brindlow-b4', {
        measure: { figure: 'timeToLevel', levelNm: 123 },
        sessionIds: ['demo-session-1', 'demo-session-2', 'demo-session-3', 'demo-session-4'],
      }),
    ],
  ] as const;
  const files: Published[] = [];
  for (const [fileName, params] of compared) {
    const { result, notComparable } = await comparisons.handlers.compare(params);
    if (result === null) throw new Error(`Not comparable: ${notComparable?.reasons.join(' ')}`);
    files.push({ fileName, json: JSON.stringify({ asked: params, comparison: result }, null, 1) });
  }
  const parts = createStandingsParts(tools(database));
  try {
    const reader = createTableReader({ database, clock });
    for (const [fileName, tableId] of [
      ['standings.json', 'demo-table-half-inch'],
      ['standings-2.json', 'demo-table-all'],
    ] as const) {
      const { standings, input } = reader.stateOf(tableId);
      const placeRanges = await parts.handlers.getPlaceRanges({ tableId });
      files.push({ fileName, json: JSON.stringify({ standings, placeRanges, input }, null, 1) });
    }
    const { editions } = await parts.handlers.listEditions({ tableId: 'demo-table-half-inch' });
    const [edition] = editions;
    if (edition === undefined) throw new Error('The demo has an edition');
    files.push({ fileName: 'edition.json', json: JSON.stringify(getEdition(database, edition.id), null, 1) });
  } finally {
    parts.close();
  }
  return files;
}

export async function packDemo(
  database: WritableDatabase,
  to: {
    readonly databasePath: string;
    readonly targetFile: string;
    readonly recomputeFile: string;
    readonly published: readonly Published[];
    readonly trialIds?: readonly string[];
  },
): Promise<void> {
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
