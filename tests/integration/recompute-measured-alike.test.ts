import { beforeAll, describe, expect, it } from 'vitest';
import type { WritableDatabase } from '../../main/storage/database.ts';
import { getTrial, saveEvaluation } from '../../main/storage/trial-repository.ts';
import { demoTools, setupOf } from '../../scripts/demo/scenario.ts';
import { publishedComparisonSchema } from '../../shared-lib/recompute/recompute-comparison.ts';
import { publishedStandingsSchema } from '../../shared-lib/recompute/recompute-standings.ts';
import type { ScoredTrial, StandingsInput } from '../../shared-lib/standings/standings-model.ts';
import { DEFINITION_VERSION } from '../../shared-lib/trial/definition-version.ts';
import { freezeEdition } from './recompute-support/freeze-edition.ts';
import { askedOf, publish } from './recompute-support/pack-demo.ts';
import { packInFolder } from './recompute-support/pack-in-folder.ts';
import { differences, type PackageInMemory } from './recompute-support/package-in-memory.ts';
import { freezeInstead, publishInstead } from './recompute-support/publish-instead.ts';
import { fillSmallWorkshop, PLANNED_S, TABLE_ID } from './recompute-support/small-workshop.ts';

/** Three tools, of which one was measured last by definition 2: the measures are those of today, and once it stood apart for it. */
const EARLIER = 2;
const brindlow = demoTools[2];
if (brindlow === undefined) throw new Error('The scenario has too few tools.');
const setupId = setupOf(brindlow).id;
const ownKey = `setup:${setupId}`;
const APART_THEN = `not like for like: definition ${EARLIER} against definition ${DEFINITION_VERSION}`;
/** What is said today of a tool that was measured by other measures. */
const APART_NOW = 'not like for like: measures of definition 1 against measures of definition 2';

const comparison = 'published/comparison-1.json';
const standings = 'published/standings-1.json';
const edition = 'published/edition-1.json';
const comparisonThen = 'published/then-comparison-1.json';
const standingsThen = 'published/then-standings-1.json';

let packed: PackageInMemory;

function measureBy(database: WritableDatabase, definitionVersion: number, measuredAt: string): void {
  const ids = database
    .prepare<[string], string>('SELECT id FROM trial WHERE shown_setup_id = ?')
    .pluck()
    .all(setupId);
  for (const id of ids) {
    const { figures } = getTrial(database, id);
    if (figures !== null) saveEvaluation(database, id, { ...figures, definitionVersion }, measuredAt);
  }
}

beforeAll(async () => {
  packed = await packInFolder(async (database) => {
    await fillSmallWorkshop(database, { isReadByOneCalibration: true });
    const step = { kind: 'tighten', direction: 'forward', plannedS: PLANNED_S } as const;
    const comparisons = [askedOf('tarnwick-t6', 'hollin-h5', { step })];
    // By definition 1 it stands apart today, as it did by definition 2 before.
    measureBy(database, 1, '2026-03-23T10:00:00.000Z');
    const then = await publish(database, { comparisons, tableIds: [TABLE_ID], editionsOf: [] });
    measureBy(database, EARLIER, '2026-03-24T10:00:00.000Z');
    await freezeEdition(database, 'Side by side (demo)');
    const now = await publish(database, { comparisons, tableIds: [TABLE_ID], editionsOf: [TABLE_ID] });
    return [...now, ...then.map(({ fileName, json }) => ({ fileName: `then-${fileName}`, json }))];
  });
});

async function inputOf(name: string): Promise<StandingsInput> {
  return publishedStandingsSchema.parse(JSON.parse(await packed.text(name))).input;
}

function apart({ trials }: StandingsInput): ScoredTrial[] {
  return trials.filter(({ leftOutBecause }) => leftOutBecause?.startsWith('not like for like') ?? false);
}

/** As it was said when each definition stood apart. */
function standApart(input: StandingsInput, gathering: StandingsInput['gathering']): void {
  for (const trial of apart(input)) {
    expect(trial).toMatchObject({ key: ownKey, leftOutBecause: APART_NOW });
    trial.leftOutBecause = APART_THEN;
  }
  input.gathering = gathering;
}

const rulesOfBefore = [
  ['before they had a number of rules', undefined],
  ['by rules 2', 2],
  ['by rules 3', 3],
] as const;

describe('a package with trials of two definitions that have the same measures', () => {
  it('has them stand side by side in standings, an edition and a comparison, and agrees', async () => {
    const input = await inputOf(standings);
    expect(input.trials.some(({ key }) => key === ownKey)).toBe(true);
    expect(apart(input)).toEqual([]);
    const said = publishedComparisonSchema.parse(JSON.parse(await packed.text(comparison)));
    expect(said.comparison.others.map(({ key }) => key)).toContain(ownKey);
    expect(differences(await packed.publishing(comparison, standings, edition).recompute())).toEqual([]);
  });

  it.each(rulesOfBefore)('agrees in standings in which one stood apart, %s', async (_, gathering) => {
    expect(apart(await inputOf(standingsThen))).not.toEqual([]);
    const files = packed.publishing(standingsThen);
    publishInstead(files, standingsThen, (input) => {
      standApart(input, gathering);
    });
    const { input } = publishedStandingsSchema.parse(JSON.parse(await files.text(standingsThen)));
    expect(input.benches?.join(' ')).toContain(`, definition ${DEFINITION_VERSION}. `);
    expect(differences(await files.recompute())).toEqual([]);
  });

  it.each(rulesOfBefore)('agrees in an edition in which one stood apart, %s', async (_, gathering) => {
    const then = await inputOf(standingsThen);
    standApart(then, gathering);
    const files = packed.publishing(edition);
    freezeInstead(files, edition, (input) => {
      Object.assign(input, then);
    });
    expect(differences(await files.recompute())).toEqual([]);
  });

  it('is caught with standings in which one stands apart by the rules of today', async () => {
    expect(differences(await packed.publishing(standingsThen).recompute()).join('\n')).toContain(
      `left out because: the package says “${APART_NOW}”; computed: none.`,
    );
  });

  it('agrees in a comparison beside which it stood apart by rules of before, and is caught with it by those of today', async () => {
    const comparedBy = async (comparing: number | undefined): Promise<string[]> => {
      const files = packed.publishing(comparisonThen);
      files.changeJson(comparisonThen, publishedComparisonSchema, (said) => {
        expect(said.comparison.others).toEqual([]);
        said.comparing = comparing;
      });
      files.seal();
      return differences(await files.recompute());
    };
    expect(await comparedBy(undefined)).toEqual([]);
    expect(await comparedBy(2)).toEqual([]);
    expect(differences(await packed.publishing(comparisonThen).recompute()).join('\n')).toMatch(
      /trials: the package has \d+ of them; computed: \d+\./,
    );
  });
});
