import { beforeAll, describe, expect, it } from 'vitest';
import { savePack } from '../../main/storage/bench-item-repository.ts';
import type { WritableDatabase } from '../../main/storage/database.ts';
import { demoPack, demoTools, setupOf } from '../../scripts/demo/scenario.ts';
import type { Contender } from '../../shared-lib/comparison/comparison-model.ts';
import { describeSetup } from '../../shared-lib/run-sheet/describe-entry.ts';
import { editionSchema, type StandingsInput } from '../../shared-lib/standings/standings-model.ts';
import { freezeEdition } from './recompute-support/freeze-edition.ts';
import { differences, type PackageInMemory } from './recompute-support/package-in-memory.ts';
import { freezeInstead } from './recompute-support/publish-instead.ts';
import { makeSmallPackage } from './recompute-support/small-package.ts';

/** An edition that was frozen before something in it was called otherwise, or after. */
const EDITION = 'published/edition-1.json';
const [hollin, tarnwick, brindlow] = demoTools;
if (hollin === undefined || tarnwick === undefined || brindlow === undefined) {
  throw new Error('The scenario has too few tools.');
}
const keyOf = (tool: typeof hollin): string => `setup:${setupOf(tool).id}`;

const renamePack = (database: WritableDatabase): void => {
  savePack(database, { ...demoPack, name: 'Pack five' });
};

/** As an import does it to a tool whose name is taken: what was entered of it keeps the name that it had. */
const renameRowOfTool = (database: WritableDatabase): void => {
  database
    .prepare('UPDATE tool SET name = ?, name_folded = ? WHERE id = ?')
    .run('Hollin H5 (Bench B)', 'hollin h5 (bench b)', hollin.id);
};

async function packAfter(
  prepare: (database: WritableDatabase) => Promise<void> | void,
): Promise<PackageInMemory> {
  const { files } = await makeSmallPackage({ prepare: async (database) => prepare(database) });
  return files;
}

async function notesOf(files: PackageInMemory): Promise<string[]> {
  const report = await files.recompute();
  expect(differences(report)).toEqual([]);
  return report.findings.map(({ where, what }) => `${where}: ${what}`);
}

function contenderOf({ subjects }: StandingsInput, key: string): Contender {
  const found = subjects.find(({ contender }) => contender.key === key);
  if (found === undefined) throw new Error(`The edition has no ${key}.`);
  return found.contender;
}

describe('an edition that was frozen before', () => {
  it('a pack was renamed agrees, and says how its contenders are called now', async () => {
    expect(await notesOf(await packAfter(renamePack))).toEqual([
      'published/edition-1.json: Names of packs and setups stand in a package as they are now. 3 contenders were called otherwise when the edition was frozen: “Brindlow B4, Pack 5 Ah, 24 mm impact socket”, “Brindlow B4, Pack five, 24 mm impact socket” now; “Hollin H5, Pack 5 Ah, 24 mm impact socket”, “Hollin H5, Pack five, 24 mm impact socket” now; “Tarnwick T6, Pack 5 Ah, 24 mm impact socket”, “Tarnwick T6, Pack five, 24 mm impact socket” now.',
    ]);
  });

  it('a setup was given another setting, as earlier versions let one do, agrees and says so', async () => {
    const notes = await notesOf(
      await packAfter((database) => {
        database.prepare('UPDATE setup SET setting = ? WHERE id = ?').run('mode 3', setupOf(hollin).id);
      }),
    );
    expect(notes).toHaveLength(1);
    expect(notes[0]).toContain('“Hollin H5, Pack 5 Ah, mode 3, 24 mm impact socket” now.');
  });

  it('the row of a tool alone was renamed agrees and says so', async () => {
    const notes = await notesOf(await packAfter(renameRowOfTool));
    expect(notes).toHaveLength(1);
    expect(notes[0]).toContain('“Hollin H5 (Bench B), Pack 5 Ah, 24 mm impact socket” now.');
  });
});

describe('an edition that was frozen after the row of a tool alone was renamed', () => {
  it('agrees, and nothing is to be told', async () => {
    const files = await packAfter(async (database) => {
      renameRowOfTool(database);
      await freezeEdition(database, 'After the import (demo)');
    });
    const { input } = editionSchema.parse(JSON.parse(await files.text(EDITION)));
    expect(contenderOf(input, keyOf(hollin)).toolName).toBe('Hollin H5 (Bench B)');
    expect(await notesOf(files)).toEqual([]);
  });
});

describe('an edition is caught, although a pack was renamed since,', () => {
  let whole: PackageInMemory;
  beforeAll(async () => {
    whole = await packAfter(renamePack);
  });

  const foundWith = async (change: (input: StandingsInput) => void): Promise<string[]> => {
    const files = whole.copy();
    freezeInstead(files, EDITION, change);
    return differences(await files.recompute());
  };

  /** The words of one for those of the other; keys and identities stay. */
  const swapWords = (one: Contender, other: Contender): void => {
    const kept = [one, other].map(({ setup }) => ({ setupId: setup?.setupId, toolId: setup?.toolId }));
    [one.label, other.label] = [other.label, one.label];
    [one.toolName, other.toolName] = [other.toolName, one.toolName];
    [one.setup, other.setup] = [other.setup, one.setup];
    Object.assign(one.setup ?? {}, kept[0]);
    Object.assign(other.setup ?? {}, kept[1]);
  };

  it('with the words of two contenders swapped', async () => {
    const found = await foundWith((input) => {
      swapWords(contenderOf(input, keyOf(hollin)), contenderOf(input, keyOf(tarnwick)));
    });
    expect(found.join('\n')).toMatch(/tool name: the package says “Tarnwick T6”; computed: “Hollin H5”/);
    expect(found.join('\n')).toMatch(/tool name: the package says “Hollin H5”; computed: “Tarnwick T6”/);
  });

  it('with two contenders swapped whole', async () => {
    const found = await foundWith((input) => {
      const [one, other] = [hollin, tarnwick].map((tool) =>
        input.subjects.find(({ contender }) => contender.key === keyOf(tool)),
      );
      if (one === undefined || other === undefined) throw new Error('They are not in the edition.');
      [one.contender, other.contender] = [other.contender, one.contender];
    });
    expect(found).not.toEqual([]);
  });

  it('with a tool by a name that it never had', async () => {
    const found = await foundWith((input) => {
      const contender = contenderOf(input, keyOf(hollin));
      contender.toolName = 'Corvane C9';
      if (contender.setup !== null) contender.setup.toolName = 'Corvane C9';
      contender.label = contender.setup === null ? 'Corvane C9' : describeSetup(contender.setup);
    });
    expect(found.join('\n')).toMatch(/tool name: the package says “Corvane C9”; computed: “Hollin H5”/);
  });

  it('with a label that does not say what it stands for', async () => {
    const found = await foundWith((input) => {
      contenderOf(input, keyOf(hollin)).label = 'The best of all';
    });
    expect(found.join('\n')).toMatch(
      /label: the package says “The best of all”; computed: “Hollin H5, Pack five/,
    );
  });

  it('with another price', async () => {
    const found = await foundWith(({ subjects }) => {
      const price = subjects
        .find(({ contender }) => contender.key === keyOf(hollin))
        ?.properties.find(({ property }) => property === 'priceBare');
      if (price?.value == null) throw new Error('It has no price.');
      price.value += 1;
    });
    expect(found).toHaveLength(1);
    expect(found[0]).toMatch(/Hollin H5, .*properties, priceBare, value: the package says/);
  });
});

describe('an edition without the tool that only trials of another bench are of', () => {
  it('agrees, since they may have been taken in after it was frozen', async () => {
    const files = await packAfter(() => undefined);
    const key = keyOf(brindlow);
    const { input } = editionSchema.parse(JSON.parse(await files.text(EDITION)));
    const ids = new Set(input.trials.flatMap((trial) => (trial.key === key ? trial.trialId : [])));
    files.rewrite('data/bench.csv', (csv) => `${csv}bench-other,Bench 2 (demo)\r\n`);
    files.changeRows(
      'data/origin.csv',
      (row) => row['table_name'] === 'trial' && ids.has(row['row_key'] ?? ''),
      () => ({ bench_id: 'bench-other' }),
    );
    freezeInstead(files, EDITION, (frozen) => {
      frozen.subjects = frozen.subjects.filter(({ contender }) => contender.key !== key);
      frozen.trials = frozen.trials.filter((trial) => trial.key !== key);
    });
    expect(await notesOf(files)).toEqual([
      'published/edition-1.json, Brindlow B4, Pack 5 Ah, 24 mm impact socket: The tool is in the package and not in the edition; it may have been entered or taken in later.',
    ]);
  });
});
