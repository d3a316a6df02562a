import { describe, expect, it } from 'vitest';
import { createFieldPart } from '../../main/comparison/field-part.ts';
import { insertMerge } from '../../main/storage/tool-merge-repository.ts';
import type { Setup } from '../../shared-lib/run-sheet/setup-model.ts';
import type { Term } from '../../shared-lib/standings/scheme-model.ts';
import type { Cell } from '../../shared-lib/standings/standings-model.ts';
import {
  cellsOf,
  openWorkshop,
  operator,
  type Pull,
  scheme,
  sustained,
  term,
  tighten,
  whyNotRanked,
  type Workshop,
} from './standings-support/ranked-workshop.ts';

/** Standings and comparisons give one answer of the same trials, or say why they do not. */
function asReference(sustainedNm: number): Pull {
  const place = {
    runSheetId: 'none',
    entryId: 'none',
    index: 0,
    round: 1,
    repeat: 1,
    role: 'reference',
  } as const;
  return { sustainedNm, conditions: { place } };
}

/** Reference pulls are of a run sheet, of which nothing else matters here. */
function openWithoutSheets(): Workshop {
  const workshop = openWorkshop();
  workshop.database.pragma('foreign_keys = OFF');
  return workshop;
}

async function rankBy(workshop: Workshop, terms: readonly Term[]): Promise<void> {
  await workshop.saveTable({ schemeId: await workshop.saveScheme(scheme(terms)) });
}

async function cell(workshop: Workshop, label: string, termId = 'strength'): Promise<Cell | undefined> {
  return cellsOf(await workshop.standings()).get(`${label} / ${termId}`);
}

const field = async (
  { database }: Workshop,
  measure: (typeof sustained)['measure'] = sustained.measure,
): Promise<{ label: string; mean: number; count: number }[]> => {
  const { handlers } = createFieldPart({ database, qualityGate: () => 'goodAndLook' });
  const { places } = await handlers.compareField({ step: tighten, measure, sessionIds: null, keys: null });
  return places.map(({ contender, mean, count }) => ({ label: contender.label, mean, count }));
};

describe('reference pulls of a tool', () => {
  it('are left out where it was pulled as a setup too, as a comparison leaves them out', async () => {
    const workshop = openWithoutSheets();
    const hollin = workshop.addTool('Hollin H5');
    const tarnwick = workshop.addTool('Tarnwick T6');
    for (const value of [400, 400, 400]) workshop.pull(hollin, value);
    for (let pull = 0; pull < 9; pull += 1) workshop.pull(hollin, asReference(410));
    for (const value of [300, 301, 302]) workshop.pull(tarnwick, value);
    await rankBy(workshop, [term()]);

    const own = await cell(workshop, 'Hollin H5');
    expect(own).toMatchObject({ count: 3 });
    expect(own?.value).toBeCloseTo(400, 9);
    const [first] = await field(workshop);
    expect(first).toMatchObject({ label: 'Hollin H5', count: 3 });
    expect(first?.mean).toBeCloseTo(own?.value ?? 0, 9);

    const { trials } = await workshop.handlers.getStandingsCell({
      tableId: 'table-1',
      editionId: null,
      key: `setup:${hollin.id}`,
      termId: 'strength',
    });
    expect(trials.map(({ leftOutBecause }) => leftOutBecause)).toEqual([
      ...Array<null>(3).fill(null),
      ...Array<string>(9).fill('a reference pull; its pulls as a setup count'),
    ]);
  });

  it('count where it was pulled as nothing else by this step, and again once its pulls as a setup are voided', async () => {
    const workshop = openWithoutSheets();
    const hollin = workshop.addTool('Hollin H5');
    // By another step it is a setup, which says nothing of this one.
    workshop.pull(hollin, { sustainedNm: 390, step: { plannedS: 10 } });
    for (const value of [410, 412]) workshop.pull(hollin, asReference(value));
    await rankBy(workshop, [term()]);
    expect(await cell(workshop, 'Hollin H5')).toMatchObject({ count: 2 });

    const edition = await workshop.handlers.makeEdition({ tableId: 'table-1', name: 'Before', note: '' });
    const asSetup = workshop.pull(hollin, 400);
    expect(await cell(workshop, 'Hollin H5')).toMatchObject({ count: 1 });
    const { changes } = await workshop.handlers.compareEditions({
      fromEditionId: edition.id,
      toEditionId: null,
    });
    expect(changes[0]?.cells[0]?.because).toEqual([
      expect.stringMatching(/^The trial of .* UTC came\.$/),
      '2 trials do not count any more: a reference pull; its pulls as a setup count.',
    ]);
    const frozen = await workshop.handlers.getEdition({ editionId: edition.id });
    expect(frozen.standings.rows[0]?.cells[0]).toMatchObject({ count: 2 });

    workshop.voidTrial(asSetup);
    expect(await cell(workshop, 'Hollin H5')).toMatchObject({ count: 2 });
  });
});

describe('the reference that a share is taken of', () => {
  const shareOf = (key: string): Term =>
    term({ how: { way: 'shareOfReference', points: 100, reference: { is: 'contender', key } } });
  const merge = (workshop: Workshop, { toolId }: Setup, intoToolId: string | null): void => {
    insertMerge(workshop.database, { toolId, intoToolId, reason: 'One tool', operator, at: workshop.next() });
  };

  it.each([
    ['known by its setup', true],
    ['known by its name only', false],
  ])(
    'is the tool that it was merged into, and itself again once that is taken back: %s',
    async (_how, has) => {
      const workshop = openWorkshop();
      const old = workshop.addTool('Hollin H5 (old)');
      const hollin = workshop.addTool('Hollin H5');
      const tarnwick = workshop.addTool('Tarnwick T6');
      const pull = (setup: Setup, name: string, value: number): string =>
        has ? workshop.pull(setup, value) : workshop.pullNamed(name, value);
      pull(old, 'Hollin H5 (old)', 400);
      pull(hollin, 'Hollin H5', 400);
      pull(tarnwick, 'Tarnwick T6', 300);
      const key = has ? `setup:${old.id}` : 'name:hollin h5 (old)';
      await rankBy(workshop, [shareOf(key)]);
      const before = await workshop.standings();
      expect((await cell(workshop, 'Tarnwick T6'))?.points).toBeCloseTo(75, 9);
      const edition = await workshop.handlers.makeEdition({ tableId: 'table-1', name: 'Before', note: '' });

      // A merge puts its tool away, and its name counts for the one that stays.
      const putAway = (isArchived: boolean): void => {
        workshop.know(
          {
            id: old.toolId,
            name: 'Hollin H5 (old)',
            supply: 'battery',
            declaredVibrationMps2: null,
            declaredNoiseDbA: null,
            isArchived,
          },
          {},
        );
      };
      putAway(true);
      merge(workshop, old, hollin.toolId);
      expect(await cell(workshop, 'Hollin H5')).toMatchObject({ count: 2, points: 100 });
      expect((await cell(workshop, 'Tarnwick T6'))?.points).toBeCloseTo(75, 9);
      const { findings } = await workshop.handlers.checkScheme({
        schemeId: before.scheme.schemeId,
        draft: scheme([shareOf(key)]),
        tableId: 'table-1',
      });
      expect(findings.map(({ sentence }) => sentence).join(' ')).not.toContain('is not in the table');

      // The scheme itself is as it was, and nobody is told otherwise.
      const { versions, references } = await workshop.handlers.listSchemeVersions({
        schemeId: before.scheme.schemeId,
      });
      expect(versions[0]?.terms).toEqual([shareOf(key)]);
      const currentKey = has ? `setup:${hollin.id}` : 'name:hollin h5';
      expect(references).toEqual([{ key, currentKey, label: 'Hollin H5' }]);
      const { changes } = await workshop.handlers.compareEditions({
        fromEditionId: edition.id,
        toEditionId: null,
      });
      expect(JSON.stringify(changes)).not.toContain('The scheme changed');

      merge(workshop, old, null);
      putAway(false);
      expect(await workshop.standings()).toEqual(before);
      const apart = await workshop.handlers.listSchemeVersions({ schemeId: before.scheme.schemeId });
      expect(apart.references).toEqual([{ key, currentKey: key, label: 'Hollin H5 (old)' }]);
    },
  );

  it('is named as its trials or the list of tools have it, and left out where nobody knows it', async () => {
    const workshop = openWorkshop();
    const hollin = workshop.addTool('Hollin H5');
    workshop.addTool('Tarnwick T6');
    workshop.pullNamed('Brindlow B4', 300);
    const keys = ['name:brindlow b4', `setup:${hollin.id}`, 'name:tarnwick t6', 'setup:gone', 'name:gone'];
    const draft = scheme(keys.map((key, place) => ({ ...shareOf(key), id: `${place}`, label: `${place}` })));
    const schemeId = await workshop.saveScheme(draft);
    const { references } = await workshop.handlers.listSchemeVersions({ schemeId });
    expect(references.map(({ key, currentKey, label }) => [key, currentKey === key, label])).toEqual([
      ['name:brindlow b4', true, 'Brindlow B4'],
      [`setup:${hollin.id}`, true, 'Hollin H5'],
      ['name:tarnwick t6', true, 'Tarnwick T6'],
    ]);
  });
});

describe('a time to a torque', () => {
  const timeTo = (levelNm: number): Term =>
    term({
      id: 'pace',
      label: 'Pace',
      better: 'less',
      measure: { of: 'trial', step: tighten, measure: { figure: 'timeToLevel', levelNm } },
      how: { way: 'perUnit', points: 1, amount: 1 },
    });
  const times = (...levels: [number, number | null][]): Pull => ({
    sustainedNm: 400,
    figures: { timeToLevel: levels.map(([levelNm, timeS]) => ({ levelNm, timeS })) },
  });

  it('that nobody asked for is told from one that was not reached', async () => {
    const workshop = openWorkshop();
    const hollin = workshop.addTool('Hollin H5');
    const tarnwick = workshop.addTool('Tarnwick T6');
    const brindlow = workshop.addTool('Brindlow B4');
    const corvane = workshop.addTool('Corvane C8');
    for (const timeS of [0.5, 0.6]) workshop.pull(hollin, times([77, timeS]));
    workshop.pull(hollin, times([100, 0.7]));
    for (let pull = 0; pull < 2; pull += 1) workshop.pull(tarnwick, times([100, 0.7]));
    workshop.pull(brindlow, times([77, null]));
    workshop.pull(corvane, times([77, null]));
    workshop.pull(corvane, times([100, 0.7]));
    await rankBy(workshop, [timeTo(77)]);
    const standings = await workshop.standings();
    expect(whyNotRanked(standings, 'Tarnwick T6')).toEqual([
      'Pace: None of its 2 trials that count has such a value: the time to this torque was not asked for when they were measured. A comparison of two measures it.',
    ]);
    expect(whyNotRanked(standings, 'Brindlow B4')).toEqual([
      'Pace: Its one trial that counts has no such value: it was not reached, or the curve does not carry it.',
    ]);
    expect(whyNotRanked(standings, 'Corvane C8')).toEqual([
      'Pace: None of its 2 trials that count has such a value: of 1 the time to this torque was not asked for when they were measured; of the others it was not reached, or the curves do not carry it. A comparison of two measures it.',
    ]);
    expect(standings.rows[0]?.cautions).toEqual([
      'Pace: 1 of its 3 trials that count has no value and is not in the mean. Of 1 of them the time to this torque was not asked for when it was measured. A comparison of two measures it.',
    ]);
  });

  it('says where onset was found at different levels, and a torque that was held does not', async () => {
    const workshop = openWorkshop();
    const hollin = workshop.addTool('Hollin H5');
    const at = (onsetLevelNm: number): Pull => ({
      sustainedNm: 400,
      figures: { onsetLevelNm, timeToLevel: [{ levelNm: 100, timeS: 0.5 }] },
    });
    for (const level of [15, 20]) workshop.pull(hollin, at(level));
    await rankBy(workshop, [timeTo(100)]);
    const onset = (cautions: readonly string[]): string[] =>
      cautions.filter((caution) => caution.includes('onset was found'));
    expect(onset((await workshop.standings()).cautions)).toEqual([
      expect.stringMatching(
        /onset was found at different levels, 15\.0\u202fN·m .* to 20\.0\u202fN·m .*, and times and torques after a time stand as they were measured\. A comparison of two measures them anew at one level\.$/,
      ),
    ]);
    await workshop.saveTable({
      id: 'table-2',
      name: 'By strength (demo)',
      schemeId: await workshop.saveScheme(scheme([term()], { name: 'By what was held (demo)' })),
    });
    expect(onset((await workshop.standings('table-2')).cautions)).toEqual([]);
  });
});
