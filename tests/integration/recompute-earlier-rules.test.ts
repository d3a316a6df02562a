import { beforeAll, describe, expect, it } from 'vitest';
import { createStandingsParts } from '../../main/standings/standings-parts.ts';
import { saveSetup, saveTool } from '../../main/storage/bench-item-repository.ts';
import { insertMerge } from '../../main/storage/tool-merge-repository.ts';
import { demoTools, setupOf, toolOf } from '../../scripts/demo/scenario.ts';
import { publishedStandingsSchema } from '../../shared-lib/recompute/recompute-standings.ts';
import type { StandingsInput } from '../../shared-lib/standings/standings-model.ts';
import { differences, type PackageInMemory } from './recompute-support/package-in-memory.ts';
import { publishInstead } from './recompute-support/publish-instead.ts';
import { makeSmallPackage } from './recompute-support/small-package.ts';
import { OPERATOR, PLANNED_S } from './recompute-support/small-workshop.ts';

/** Standings with reference pulls of a tool that is a setup too, and with a reference that was merged into another tool. */
const published = 'published/standings-1.json';
const BESIDE_SETUP = 'a reference pull; its pulls as a setup count';
const [hollin] = demoTools;
if (hollin === undefined) throw new Error('The scenario has no tools.');
const [hollinKey, twinKey] = [`setup:${setupOf(hollin).id}`, 'setup:setup-demo-twin'];

let whole: PackageInMemory;

beforeAll(async () => {
  ({ files: whole } = await makeSmallPackage({
    reference: { atStart: 2, perRound: 1, atEnd: 1 },
    async prepare(database) {
      const at = '2026-03-25T10:00:00.000Z';
      saveTool(database, {
        ...toolOf(hollin),
        id: 'demo-twin',
        name: 'Hollin twin (demo)',
        isArchived: true,
      });
      saveSetup(database, { ...setupOf(hollin), id: 'setup-demo-twin', toolId: 'demo-twin' });
      insertMerge(database, {
        toolId: 'demo-twin',
        intoToolId: hollin.id,
        reason: 'One tool (demo).',
        operator: OPERATOR,
        at,
      });
      const parts = createStandingsParts({
        database,
        clock: { now: () => new Date(at), monotonicUs: () => 0 },
        softwareVersion: 'test',
        operator: () => OPERATOR,
        emit: () => undefined,
      });
      try {
        const { tables } = await parts.handlers.listStandingsTables({});
        const { scheme } = await parts.handlers.getStandings({ tableId: tables[0]?.id ?? '' });
        await parts.handlers.saveScheme({
          schemeId: scheme.schemeId,
          draft: {
            name: scheme.name,
            note: scheme.note,
            isNormalised: scheme.isNormalised,
            terms: [
              ...scheme.terms,
              {
                id: 'share',
                label: 'Share of the twin',
                measure: {
                  of: 'trial',
                  step: { kind: 'tighten', direction: 'forward', plannedS: PLANNED_S },
                  measure: { figure: 'sustainedTorque' },
                },
                better: 'more',
                how: {
                  way: 'shareOfReference',
                  points: 10,
                  reference: { is: 'contender', key: twinKey },
                },
                factor: 1,
                cap: null,
                missing: 'leaveOut',
              },
            ],
          },
        });
      } finally {
        parts.close();
      }
    },
  }));
});

function countReferencePulls({ trials }: StandingsInput): number {
  let count = 0;
  for (const trial of trials) {
    if (trial.leftOutBecause !== BESIDE_SETUP) continue;
    trial.leftOutBecause = null;
    count += 1;
  }
  return count;
}

describe('a package with reference pulls of a tool that was pulled as a setup too', () => {
  it('has the pulls as a setup count alone, and agrees', async () => {
    const { input, standings } = publishedStandingsSchema.parse(JSON.parse(await whole.text(published)));
    expect(input.gathering).toBe(2);
    expect(input.trials.filter(({ leftOutBecause }) => leftOutBecause === BESIDE_SETUP)).not.toEqual([]);
    // What a share is taken of is the tool that the other one was merged into.
    const share = standings.rows
      .find(({ contender }) => contender.key === hollinKey)
      ?.cells.find(({ termId }) => termId === 'share');
    expect(share?.points).toBeCloseTo(10, 9);
    expect(differences(await whole.recompute())).toEqual([]);
  });

  it('agrees as an earlier version published it, and says that reference pulls count in it', async () => {
    const files = whole.copy();
    let count = 0;
    publishInstead(files, published, (input) => {
      delete input.gathering;
      count = countReferencePulls(input);
    });
    const report = await files.recompute();
    expect(differences(report)).toEqual([]);
    expect(count).toBeGreaterThan(3);
    expect(report.findings.map(({ what }) => what)).toContain(
      `They were computed by an earlier version of the program, in which ${count} reference pulls count beside pulls of the same tool as a setup; today only these count.`,
    );
  });

  it('is caught with reference pulls that count by the rules of today', async () => {
    const files = whole.copy();
    publishInstead(files, published, countReferencePulls);
    expect(differences(await files.recompute()).join('\n')).toContain(
      'left out because: the package says none; computed: “a reference pull; its pulls as a setup count”',
    );
  });

  it('is caught with a share of a reference that counts to another tool now', async () => {
    const files = whole.copy();
    publishInstead(files, published, ({ schemes }) => {
      const how = schemes[0]?.terms.at(-1)?.how;
      if (how?.way !== 'shareOfReference' || how.reference.is !== 'contender') throw new Error('No share');
      how.reference.key = twinKey;
    });
    expect(differences(await files.recompute()).join('\n')).toMatch(
      /standings-1\.json, schemes, .*reference, key: the package says “setup:setup-demo-twin”/,
    );
  });
});
