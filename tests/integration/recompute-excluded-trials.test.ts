import { beforeAll, describe, expect, it } from 'vitest';
import { FIGURES_FILE } from '../../shared-lib/package/package-tables.ts';
import { readRows } from '../../shared-lib/recompute/read-rows.ts';
import { decideSuspects } from '../../main/storage/suspicion-repository.ts';
import { differences, type PackageInMemory } from './recompute-support/package-in-memory.ts';
import { packInFolder } from './recompute-support/pack-in-folder.ts';
import { failCheck, fillSmallWorkshop, OPERATOR, trialIds } from './recompute-support/small-workshop.ts';
import { markOf } from './storage-support/mark-of.ts';

let whole: PackageInMemory;
let excluded: string;
let usable: string;
let undecided: string;

/** All trials of the workshop are suspect; of two of them the operator has made up their mind. */
beforeAll(async () => {
  whole = await packInFolder(async (database) => {
    const { runCalibrationId } = await fillSmallWorkshop(database);
    [excluded = '', usable = '', undecided = ''] = trialIds(database, 'counted').slice(2);
    failCheck(database, runCalibrationId, '2026-03-03T15:00:00.000Z');
    for (const [trialId, decision] of [
      [excluded, 'excluded'],
      [usable, 'usable'],
    ] as const) {
      decideSuspects(
        database,
        { trialIds: [trialId], checkId: markOf(database, trialId) },
        {
          decision,
          reason: 'The arm had slipped (demo).',
          operator: OPERATOR,
          at: '2026-03-25T10:00:00.000Z',
        },
      );
    }
    return [];
  });
});

async function suspicionIn(files: PackageInMemory): Promise<ReadonlyMap<string, string | null>> {
  const rows = readRows(await files.text(FIGURES_FILE), FIGURES_FILE);
  return new Map(rows.map((row) => [row['trial_id'] ?? '', row['suspicion'] ?? null]));
}

describe('a package with trials that a failed daily check casts doubt on', () => {
  it('says in its table of figures what became of each, and agrees', async () => {
    const suspicion = await suspicionIn(whole);
    expect([excluded, usable, undecided].map((id) => suspicion.get(id))).toEqual([
      'excluded',
      'usable',
      'undecided',
    ]);
    const { findings } = await whole.recompute();
    expect(findings.map(({ where, what }) => `${where}: ${what}`)).toEqual([]);
  });

  it.each([
    ['counts there', null, 'none'],
    ['is found usable there', 'usable', '“usable”'],
  ])('is caught with an excluded one that %s', async (_, cell, said) => {
    const files = whole.copy();
    files.changeRows(
      FIGURES_FILE,
      (row) => row['trial_id'] === excluded,
      () => ({ suspicion: cell }),
    );
    files.seal();
    expect(differences(await files.recompute())).toEqual([
      `${FIGURES_FILE}, trial ${excluded}, suspicion: the package says ${said}; computed: “excluded”.`,
    ]);
  });

  it('agrees as an earlier version wrote it, whose table does not say it', async () => {
    const files = whole.copy();
    files.rewrite(FIGURES_FILE, (csv) =>
      csv.replace(',suspicion,', ',').replaceAll(/,(true|false),(excluded|usable|undecided|),/g, ',$1,'),
    );
    expect([...(await suspicionIn(files)).values()].filter((mark) => mark !== null)).toEqual([]);
    files.seal();
    const { findings } = await files.recompute();
    expect(findings.map(({ where, what }) => `${where}: ${what}`)).toEqual([]);
  });
});
