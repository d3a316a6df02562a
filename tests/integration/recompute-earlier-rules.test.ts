import { beforeAll, describe, expect, it } from 'vitest';
import type { z } from 'zod';
import { createStandingsParts } from '../../main/standings/standings-parts.ts';
import { saveSetup, saveTool } from '../../main/storage/bench-item-repository.ts';
import type { WritableDatabase } from '../../main/storage/database.ts';
import { performRecordingCommand } from '../../main/storage/recording-commands.ts';
import { relabel } from '../../main/storage/relabelling-repository.ts';
import { decideSuspects } from '../../main/storage/suspicion-repository.ts';
import { saveToolVersion } from '../../main/storage/tool-details-repository.ts';
import { insertMerge } from '../../main/storage/tool-merge-repository.ts';
import { demoTools, detailsOf, setupOf, toolOf } from '../../scripts/demo/scenario.ts';
import { publishedComparisonSchema } from '../../shared-lib/recompute/recompute-comparison.ts';
import { publishedStandingsSchema } from '../../shared-lib/recompute/recompute-standings.ts';
import { notOfTheList } from '../../shared-lib/standings/gather-subjects.ts';
import { GATHERING, type StandingsInput } from '../../shared-lib/standings/standings-model.ts';
import { freezeEdition } from './recompute-support/freeze-edition.ts';
import { differences, type PackageInMemory } from './recompute-support/package-in-memory.ts';
import { packInFolder } from './recompute-support/pack-in-folder.ts';
import { askedOf, publish } from './recompute-support/pack-demo.ts';
import { freezeInstead, publishInstead } from './recompute-support/publish-instead.ts';
import { makeSmallPackage } from './recompute-support/small-package.ts';
import {
  DIRECT,
  failCheck,
  fillSmallWorkshop,
  OPERATOR,
  PLANNED_S,
  TABLE_ID,
  trialIds,
} from './recompute-support/small-workshop.ts';
import { markOf } from './storage-support/mark-of.ts';

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
    expect(input.gathering).toBe(GATHERING);
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

  it('agrees as it was published by rules 2', async () => {
    const files = whole.copy();
    publishInstead(files, published, (input) => {
      input.gathering = 2;
    });
    const { findings } = await files.recompute();
    expect(findings.map(({ where, what }) => `${where}: ${what}`)).toEqual([]);
  });

  it('is caught with reference pulls that count by rules 2', async () => {
    const files = whole.copy();
    publishInstead(files, published, (input) => {
      input.gathering = 2;
      countReferencePulls(input);
    });
    expect(differences(await files.recompute()).join('\n')).toContain(
      'computed: “a reference pull; its pulls',
    );
  });

  it('says that rules of a later version are not known here', async () => {
    const files = whole.copy();
    files.rewrite(published, (json) =>
      json.replace(`"gathering": ${GATHERING}`, `"gathering": ${GATHERING + 1}`),
    );
    files.seal();
    expect(differences(await files.recompute()).join('\n')).toMatch(/standings-1\.json.*gathering/);
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

describe('a package with a trial that was left out after a failed check, and is read by another calibration since', () => {
  const EXCLUDED = 'left out after a failed daily check';
  const NOTE =
    'An earlier version of the program held a failed daily check against the calibration that a trial is read by, and not against the one that it was made with: 1 trial counts otherwise than today.';
  const edition = 'published/edition-1.json';
  const [asToday, asBefore] = ['published/comparison-1.json', 'published/comparison-of-before.json'];
  const step = { kind: 'tighten', direction: 'forward', plannedS: PLANNED_S } as const;
  const asked = askedOf('tarnwick-t6', 'hollin-h5', { step });
  let trialId = '';
  let excluded: PackageInMemory;

  /** Made with a calibration whose check failed, read by one whose check did not. */
  function readByAnother(database: WritableDatabase): void {
    performRecordingCommand(database, {
      type: 'assign',
      trialId,
      assigned: {
        calibrationId: DIRECT,
        reason: 'To see what the other one makes of it (demo).',
        operator: OPERATOR,
        at: '2026-03-24T10:00:00.000Z',
      },
      levelsNm: [],
    });
  }

  beforeAll(async () => {
    excluded = await packInFolder(async (database) => {
      const { runCalibrationId } = await fillSmallWorkshop(database);
      // The second one is voided.
      trialId = trialIds(database, 'counted')[2] ?? '';
      failCheck(database, runCalibrationId, '2026-03-03T15:00:00.000Z');
      readByAnother(database);
      // Nobody has left it out yet: it counts, as it went on doing before.
      const [before] = await publish(database, { comparisons: [asked], tableIds: [], editionsOf: [] });
      decideSuspects(
        database,
        { trialIds: [trialId], checkId: markOf(database, trialId) },
        {
          decision: 'excluded',
          reason: 'The arm had slipped (demo).',
          operator: OPERATOR,
          at: '2026-03-25T10:00:00.000Z',
        },
      );
      await freezeEdition(database, 'After it was left out (demo)');
      const now = await publish(database, {
        comparisons: [asked],
        tableIds: [TABLE_ID],
        editionsOf: [TABLE_ID],
      });
      return [...now, { fileName: 'comparison-of-before.json', json: before?.json ?? '' }];
    });
  });

  const withoutBefore = (): PackageInMemory => {
    const files = excluded.copy();
    files.remove(asBefore);
    files.seal();
    return files;
  };

  const letCount = (input: StandingsInput): void => {
    const trial = input.trials.find((one) => one.trialId === trialId);
    expect(trial?.leftOutBecause).toBe(EXCLUDED);
    if (trial !== undefined) trial.leftOutBecause = null;
  };

  const letCountWithoutNumber = (input: StandingsInput): void => {
    letCount(input);
    keepSuspectsQuiet(input);
    delete input.gathering;
  };

  const isOfSuspects = (sentence: string): boolean => sentence.includes('suspect: a daily check failed');

  /** As before they were told: others than the one that was left out stand under the same failed check. */
  const keepSuspectsQuiet = (input: StandingsInput): void => {
    const { benches = [] } = input;
    expect(benches.filter(isOfSuspects)).toHaveLength(1);
    input.benches = benches.filter((sentence) => !isOfSuspects(sentence));
  };

  async function notesOf(files: PackageInMemory): Promise<string[]> {
    const report = await files.recompute();
    expect(differences(report)).toEqual([]);
    return report.findings.map(({ where, what }) => `${where}: ${what}`);
  }

  it('leaves it out everywhere, and agrees', async () => {
    expect(await notesOf(withoutBefore())).toEqual([]);
  });

  it.each([
    ['standings', published, publishInstead],
    ['an edition', edition, freezeInstead],
  ])('agrees in %s in which it counts as before, and says so', async (_, file, instead) => {
    const files = withoutBefore();
    instead(files, file, letCountWithoutNumber);
    expect(await notesOf(files)).toEqual([`${file}: ${NOTE}`]);
  });

  it.each([
    ['standings', published, publishInstead],
    ['an edition', edition, freezeInstead],
  ])('is caught with %s in which it counts by the rules of today', async (_, file, instead) => {
    const files = withoutBefore();
    instead(files, file, letCount);
    expect(differences(await files.recompute()).join('\n')).toContain(
      `${file}, trial ${trialId}, left out because: the package says none; computed: “${EXCLUDED}”.`,
    );
  });

  it('has nothing to say of standings without a number in which it does not count either', async () => {
    const files = withoutBefore();
    publishInstead(files, published, (input) => {
      keepSuspectsQuiet(input);
      delete input.gathering;
    });
    expect(await notesOf(files)).toEqual([]);
  });

  it('agrees with standings and a comparison of rules that did not tell of the suspect ones', async () => {
    const files = withoutBefore();
    publishInstead(files, published, (input) => {
      keepSuspectsQuiet(input);
      input.gathering = 4;
    });
    files.changeJson(asToday, publishedComparisonSchema, (said) => {
      quiet(said);
      letTellOfCalibrations(said);
      said.comparing = 3;
    });
    files.seal();
    expect(await notesOf(files)).toEqual([]);
  });

  it('is caught where suspect trials count without a word by the rules of today', async () => {
    const files = withoutBefore();
    publishInstead(files, published, keepSuspectsQuiet);
    files.changeJson(asToday, publishedComparisonSchema, quiet);
    files.seal();
    const found = differences(await files.recompute()).join('\n');
    expect(found).toContain(`${published}, benches: the package has 1 of them; computed: 2.`);
    expect(found).toContain(`${asToday}, cautions: the package has 4 of them; computed: 5.`);
  });

  function quiet({ comparison }: z.infer<typeof publishedComparisonSchema>): void {
    comparison.cautions = comparison.cautions.filter((caution) => !isOfSuspects(caution));
  }

  /** Rules 3 told of several calibrations wherever there were some; here their scales cancel. */
  function letTellOfCalibrations({ comparison }: z.infer<typeof publishedComparisonSchema>): void {
    comparison.cautions.push(
      'The trials are read by 2 calibrations. The uncertainty of their scales does not cancel between them and is not in the interval.',
    );
  }

  it('agrees in a comparison in which it counts as before, and says so', async () => {
    const files = excluded.copy();
    files.changeJson(asBefore, publishedComparisonSchema, (said) => {
      expect(said.comparison.trials.find((trial) => trial.trialId === trialId)?.leftOutBecause).toBeNull();
      quiet(said);
      letTellOfCalibrations(said);
      delete said.comparing;
    });
    files.changeJson(asToday, publishedComparisonSchema, (said) => {
      quiet(said);
      letTellOfCalibrations(said);
      delete said.comparing;
    });
    files.seal();
    expect(await notesOf(files)).toEqual([`${asBefore}: ${NOTE}`]);
  });

  it('is caught with a comparison in which it counts by the rules of today', async () => {
    expect(differences(await excluded.recompute()).join('\n')).toContain(
      `${asBefore}, trials: the package has 11 of them; computed: 10.`,
    );
  });
});

describe('a package with pulls under the name of a tool that was put away', () => {
  const NAME = 'Hollin of before (demo)';
  const key = `name:${NAME.toLowerCase()}`;
  const comparison = 'published/comparison-1.json';
  let named: PackageInMemory;

  beforeAll(async () => {
    named = await packInFolder(async (database) => {
      await fillSmallWorkshop(database, { isReadByOneCalibration: true });
      const by = { operator: OPERATOR, at: '2026-03-25T10:00:00.000Z' };
      const tool = { ...toolOf(hollin), id: 'demo-put-away', name: NAME, isArchived: true };
      saveToolVersion(database, { tool, details: detailsOf(hollin) }, by);
      const ofHollin = database
        .prepare<[string], string>('SELECT id FROM trial WHERE shown_setup_id = ?')
        .pluck()
        .all(setupOf(hollin).id);
      for (const id of ofHollin) {
        relabel(database, id, { toolName: NAME, setup: null, reason: 'Typed by hand (demo).', ...by });
      }
      const step = { kind: 'tighten', direction: 'forward', plannedS: PLANNED_S } as const;
      return publish(database, {
        comparisons: [askedOf('tarnwick-t6', 'hollin-h5', { step, b: key })],
        tableIds: [TABLE_ID],
        editionsOf: [],
      });
    });
  });

  const forgetTool = ({ subjects }: StandingsInput): void => {
    const found = subjects.find(({ contender }) => contender.key === key);
    expect(found?.contender.toolId).toBe('demo-put-away');
    if (found === undefined) return;
    Object.assign(found, notOfTheList({ ...found.contender, toolId: null }));
  };

  it('knows the tool, and agrees', async () => {
    expect(differences(await named.recompute())).toEqual([]);
  });

  it.each([
    ['before they had a number of rules', undefined],
    ['by rules 2', 2],
  ])('agrees in standings that know no such tool, as %s, and says so', async (_, gathering) => {
    const files = named.copy();
    publishInstead(files, published, (input) => {
      forgetTool(input);
      input.gathering = gathering;
    });
    const report = await files.recompute();
    expect(differences(report)).toEqual([]);
    expect(report.findings.map(({ where, what }) => `${where}: ${what}`)).toContain(
      `${published}, ${NAME}: An earlier version of the program did not look for a name among the tools that were put away, and took this one for no tool of the list.`,
    );
  });

  it('is caught with standings that know no such tool by the rules of today', async () => {
    const files = named.copy();
    publishInstead(files, published, forgetTool);
    expect(differences(await files.recompute()).join('\n')).toContain(
      'tool id: the package says none; computed: “demo-put-away”',
    );
  });

  it('is caught with standings that say of such a tool what they do not know', async () => {
    const files = named.copy();
    publishInstead(files, published, (input) => {
      delete input.gathering;
      forgetTool(input);
      for (const subject of input.subjects)
        if (subject.contender.key === key) subject.notRankedBecause = null;
    });
    expect(differences(await files.recompute()).join('\n')).toMatch(
      /not ranked because: the package says none/,
    );
  });

  it('agrees in a comparison that knows no such tool, as before it had a number of rules', async () => {
    const changed = (isNumbered: boolean): PackageInMemory => {
      const files = named.copy();
      files.changeJson(comparison, publishedComparisonSchema, (said) => {
        said.comparison.b.contender.toolId = null;
        if (!isNumbered) delete said.comparing;
      });
      files.seal();
      return files;
    };
    expect(differences(await changed(false).recompute())).toEqual([]);
    expect(differences(await changed(true).recompute()).join('\n')).toContain(
      'tool id: the package says none; computed: “demo-put-away”',
    );
  });
});
