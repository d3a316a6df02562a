import { beforeAll, describe, expect, it } from 'vitest';
import type { WritableDatabase } from '../../main/storage/database.ts';
import { relabel } from '../../main/storage/relabelling-repository.ts';
import { saveToolVersion } from '../../main/storage/tool-details-repository.ts';
import { insertMerge } from '../../main/storage/tool-merge-repository.ts';
import { demoTools, detailsOf, setupOf, toolOf } from '../../scripts/demo/scenario.ts';
import type { ToolClass } from '../../shared-lib/catalogue/catalogue-model.ts';
import { publishedComparisonSchema } from '../../shared-lib/recompute/recompute-comparison.ts';
import { publishedStandingsSchema } from '../../shared-lib/recompute/recompute-standings.ts';
import { freezeEdition } from './recompute-support/freeze-edition.ts';
import { askedOf, publish } from './recompute-support/pack-demo.ts';
import { packInFolder } from './recompute-support/pack-in-folder.ts';
import { differences, type PackageInMemory } from './recompute-support/package-in-memory.ts';
import { freezeInstead, publishInstead } from './recompute-support/publish-instead.ts';
import { fillSmallWorkshop, OPERATOR, PLANNED_S, TABLE_ID } from './recompute-support/small-workshop.ts';

/**
 * Pulls under the name of a tool that was merged into another one, both put away. Once they counted to that one whoever else had
 * one of the two names; today they do not where it cannot be told any more whose they are.
 */
const [hollin] = demoTools;
if (hollin === undefined) throw new Error('The scenario has no tools.');
const MERGED = 'Hollin of before (demo)';
const STAYS = 'Hollin of old (demo)';
const staysKey = `name:${STAYS.toLowerCase()}`;
const by = { operator: OPERATOR, at: '2026-03-25T10:00:00.000Z' };

const comparison = 'published/comparison-1.json';
const standings = 'published/standings-1.json';
const edition = 'published/edition-1.json';

interface EnteredTool {
  readonly id: string;
  readonly name: string;
  readonly isArchived?: boolean;
  readonly toolClass?: ToolClass;
}

const enterTool = (
  database: WritableDatabase,
  { id, name, isArchived = true, toolClass = 'impactWrench' }: EnteredTool,
): void => {
  const tool = { ...toolOf(hollin), id, name, isArchived };
  saveToolVersion(database, { tool, details: { ...detailsOf(hollin), toolClass } }, by);
};

/** What is published counts the pulls to the tool that stays; `namesake` is entered afterwards, dated before the edition. */
const packWith = async (namesake: EnteredTool): Promise<PackageInMemory> =>
  packInFolder(async (database) => {
    await fillSmallWorkshop(database, { isReadByOneCalibration: true });
    enterTool(database, { id: 'demo-merged', name: MERGED });
    enterTool(database, { id: 'demo-stays', name: STAYS });
    insertMerge(database, {
      toolId: 'demo-merged',
      intoToolId: 'demo-stays',
      reason: 'One tool (demo).',
      ...by,
    });
    const ofHollin = database
      .prepare<[string], string>('SELECT id FROM trial WHERE shown_setup_id = ?')
      .pluck()
      .all(setupOf(hollin).id);
    for (const id of ofHollin) {
      relabel(database, id, { toolName: MERGED, setup: null, reason: 'Typed by hand (demo).', ...by });
    }
    await freezeEdition(database, 'Names of before (demo)');
    const step = { kind: 'tighten', direction: 'forward', plannedS: PLANNED_S } as const;
    const published = await publish(database, {
      comparisons: [askedOf('tarnwick-t6', 'hollin-h5', { step, b: staysKey })],
      tableIds: [TABLE_ID],
      editionsOf: [TABLE_ID],
    });
    enterTool(database, namesake);
    return published;
  });

describe.each<[string, EnteredTool]>([
  ['the merged one has a namesake that was put away, too', { id: 'demo-second', name: MERGED }],
  [
    'the one that stays has a namesake in use',
    { id: 'demo-namesake', name: STAYS, isArchived: false, toolClass: 'drill' },
  ],
])('a package with pulls under the name of a merged tool, where %s,', (_, namesake) => {
  let packed: PackageInMemory;
  beforeAll(async () => {
    packed = await packWith(namesake);
  });

  const told = async (files: PackageInMemory): Promise<string[]> => {
    const report = await files.recompute();
    expect(differences(report)).toEqual([]);
    return report.findings.map(({ where, what }) => `${where}: ${what}`);
  };
  const note = (file: string, count: number): string =>
    `${file}: An earlier version of the program looked for a name among the tools in use only, and let pulls under the name of a merged tool count to the one that stays, whoever else had either name: ${count} trials count to another contender than today.`;

  it.each([
    ['standings', 'before they had a number of rules', standings, publishInstead, undefined],
    ['standings', 'by rules 2', standings, publishInstead, 2],
    ['an edition', 'before they had a number of rules', edition, freezeInstead, undefined],
    ['an edition', 'by rules 2', edition, freezeInstead, 2],
  ])(
    'agrees in %s in which they count to that one, %s, and says so',
    async (_what, _rules, file, instead, gathering) => {
      const files = packed.publishing(file);
      let count = 0;
      instead(files, file, (input) => {
        count = input.trials.filter(({ key }) => key === staysKey).length;
        input.gathering = gathering;
      });
      expect(count).toBeGreaterThan(2);
      expect(await told(files)).toContain(note(file, count));
    },
  );

  it('is caught with standings in which they count to that one by the rules of today', async () => {
    const { input } = publishedStandingsSchema.parse(JSON.parse(await packed.text(standings)));
    const [trial] = input.trials.filter(({ key }) => key === staysKey);
    expect(differences(await packed.publishing(standings).recompute())).toContain(
      `${standings}, trial ${trial?.trialId ?? ''}: The standings have it, and by the package it does not belong there.`,
    );
  });

  it('agrees in a comparison in which they count to that one, as before it had a number of rules, and says so', async () => {
    const files = packed.publishing(comparison);
    let count = 0;
    files.changeJson(comparison, publishedComparisonSchema, (said) => {
      expect(said.comparison.b.contender).toMatchObject({ key: staysKey, toolId: 'demo-stays' });
      count = said.comparison.trials.filter(({ contenderKey }) => contenderKey === staysKey).length;
      delete said.comparing;
    });
    files.seal();
    expect(await told(files)).toContain(note(comparison, count));
  });

  it('is caught with a comparison in which they count to that one by the rules of today', async () => {
    expect(differences(await packed.publishing(comparison).recompute()).join('\n')).toContain(
      `${comparison}: By the package they are not compared: `,
    );
  });
});
