import { describe, expect, it } from 'vitest';
import { insertMerge } from '../../main/storage/tool-merge-repository.ts';
import { decideSuspects } from '../../main/storage/suspicion-repository.ts';
import { listBenchItems } from '../../main/storage/bench-item-repository.ts';
import { conditions } from './storage-support/bench-fixture.ts';
import { AFTER_ALL_TRIALS, checkAt } from './storage-support/failed-check.ts';
import {
  openWorkshop,
  operator,
  scheme,
  sustained,
  term,
  whyNotRanked,
  type Workshop,
} from './standings-support/ranked-workshop.ts';

/** A table by strength alone, with one tool that is ranked. */
async function workshopWithTable(
  options: Parameters<Workshop['saveTable']>[0] | Record<never, never> = {},
): Promise<Workshop> {
  const workshop = openWorkshop();
  const hollin = workshop.addTool('Hollin H5', { toolClass: 'impactWrench', driveSize: 'square12.5' });
  for (const value of [400, 410, 420]) workshop.pull(hollin, value);
  const schemeId = await workshop.saveScheme(scheme());
  await workshop.saveTable({ schemeId, ...options });
  return workshop;
}

describe('a tool that is not ranked says why', () => {
  it('because it was never tested', async () => {
    const workshop = await workshopWithTable();
    workshop.addTool('Tarnwick T6');
    const standings = await workshop.standings();
    expect(whyNotRanked(standings, 'Hollin H5')).toBeNull();
    expect(whyNotRanked(standings, 'Tarnwick T6')).toContain('Never tested.');
  });

  it('because it was pulled on the simulated bench only, and the table has real trials', async () => {
    const workshop = await workshopWithTable();
    const tarnwick = workshop.addTool('Tarnwick T6');
    workshop.pull(tarnwick, { sustainedNm: 500, isSimulated: true });
    expect(whyNotRanked(await workshop.standings(), 'Tarnwick T6')).toContain('Never tested.');
  });

  it('because it was tested, but not by a step that the scheme asks for', async () => {
    const workshop = await workshopWithTable();
    const tarnwick = workshop.addTool('Tarnwick T6');
    workshop.pull(tarnwick, { sustainedNm: 500, step: { plannedS: 10 } });
    expect(whyNotRanked(await workshop.standings(), 'Tarnwick T6')).toEqual([
      'Strength: It has no trial of this step.',
    ]);
  });

  it('because its trials name no tool of the list, with what to do', async () => {
    const workshop = await workshopWithTable();
    workshop.pullNamed('Hollin H5x', 405);
    expect(whyNotRanked(await workshop.standings(), 'Hollin H5x')?.[0]).toBe(
      'No tool of the list is called "Hollin H5x". Add it in Tools, or put right in the Logbook which tool these trials were pulled with.',
    );
  });

  it('because all its trials are voided', async () => {
    const workshop = await workshopWithTable();
    const tarnwick = workshop.addTool('Tarnwick T6');
    for (const value of [500, 510]) workshop.voidTrial(workshop.pull(tarnwick, value));
    const standings = await workshop.standings();
    expect(whyNotRanked(standings, 'Tarnwick T6')).toEqual([
      'Strength: None of its 2 trials of this step counts: voided (2).',
    ]);
    const row = standings.notRanked.find(({ contender }) => contender.toolName === 'Tarnwick T6');
    expect(row?.cells[0]).toMatchObject({ value: null, points: null, count: 0 });
  });

  it('because its trials wait for a decision, were cut short, or are kept out by their quality', async () => {
    const workshop = await workshopWithTable();
    const tarnwick = workshop.addTool('Tarnwick T6');
    workshop.pull(tarnwick, { sustainedNm: 500, state: 'reviewing' });
    workshop.pull(tarnwick, { sustainedNm: 500, state: 'interrupted' });
    workshop.pull(tarnwick, { sustainedNm: 500, verdict: 'notUsable' });
    const { trials } = await workshop.handlers.getStandingsCell({
      tableId: 'table-1',
      editionId: null,
      key: `setup:${tarnwick.id}`,
      termId: 'strength',
    });
    // Nobody is to keep or void a trial by its figure.
    expect(trials.map(({ value }) => value)).toEqual([null, null, 500]);
    expect(whyNotRanked(await workshop.standings(), 'Tarnwick T6')).toEqual([
      'Strength: None of its 3 trials of this step counts: not decided yet, interrupted, kept out by its quality.',
    ]);
  });

  it('because its pulls were declared as conditioning', async () => {
    const workshop = await workshopWithTable();
    const tarnwick = workshop.addTool('Tarnwick T6');
    const place = {
      runSheetId: 'none',
      entryId: 'none',
      index: 0,
      round: 0,
      repeat: 1,
      role: 'conditioning',
    } as const;
    workshop.database.pragma('foreign_keys = OFF');
    workshop.pull(tarnwick, { sustainedNm: 500, conditions: { place } });
    expect(whyNotRanked(await workshop.standings(), 'Tarnwick T6')).toEqual([
      'Strength: Its only trial of this step does not count: a conditioning pull, declared as not counted.',
    ]);
  });

  it('because its trials were left out after a failed daily check', async () => {
    const workshop = await workshopWithTable();
    const { database } = workshop;
    const tarnwick = workshop.addTool('Tarnwick T6');
    const trialId = workshop.pull(tarnwick, 500);
    const isTold = async (): Promise<boolean> =>
      (await workshop.standings()).cautions.some((caution) => caution.includes('4 of 4 trials are suspect'));
    expect(await isTold()).toBe(false);
    const checkId = checkAt(database, AFTER_ALL_TRIALS, 'failed');
    // As long as nobody has decided it counts, which the table says.
    expect(whyNotRanked(await workshop.standings(), 'Tarnwick T6')).toBeNull();
    expect(await isTold()).toBe(true);
    decideSuspects(
      database,
      { trialIds: [trialId], checkId },
      {
        decision: 'excluded',
        reason: 'The bar had slipped',
        operator,
        at: workshop.next(),
      },
    );
    expect(whyNotRanked(await workshop.standings(), 'Tarnwick T6')).toEqual([
      'Strength: Its only trial of this step does not count: left out after a failed daily check.',
    ]);
  });

  it('because the curve carries no such value', async () => {
    const workshop = await workshopWithTable();
    const tarnwick = workshop.addTool('Tarnwick T6');
    workshop.pull(tarnwick, { sustainedNm: null });
    expect(whyNotRanked(await workshop.standings(), 'Tarnwick T6')).toEqual([
      'Strength: Its one trial that counts has no such value: it was not reached, or the curve does not carry it.',
    ]);
  });

  it('because it was pulled on another bench than most', async () => {
    const workshop = await workshopWithTable();
    const brindlow = workshop.addTool('Brindlow B4');
    workshop.pull(brindlow, 300);
    const tarnwick = workshop.addTool('Tarnwick T6');
    const { profile } = conditions(workshop.transducer);
    workshop.pull(tarnwick, {
      sustainedNm: 500,
      conditions: { profile: { ...profile, nominalRateHz: profile.nominalRateHz * 2 } },
    });
    const standings = await workshop.standings();
    expect(whyNotRanked(standings, 'Brindlow B4')).toBeNull();
    expect(whyNotRanked(standings, 'Tarnwick T6')?.join(' ')).toMatch(
      /^Strength: Its only trial of this step does not count: not like for like: 160\sSa\/s against 80\sSa\/s\.$/u,
    );
    expect(standings.cautions.join(' ')).toMatch(
      /^For tighten forward 5\ss it holds for Demo transducer, 80\sSa\/s, .*1 trial of another bench is left out\./u,
    );
  });

  it('because what was merged into it is of another class', async () => {
    const workshop = await workshopWithTable();
    const twin = workshop.addTool('Hollin H5 kit', { toolClass: 'drill' });
    insertMerge(workshop.database, {
      toolId: twin.toolId,
      intoToolId: 'tool-Hollin H5',
      reason: 'The same tool',
      operator,
      at: workshop.next(),
    });
    expect(whyNotRanked(await workshop.standings(), 'Hollin H5')).toEqual([
      'What was merged into this tool is of two classes: drill and impact wrench. Put the class right in Tools, or take the merge back.',
    ]);
  });

  it('because the table takes in one class, and its own is not entered; of another class it is not there', async () => {
    const workshop = await workshopWithTable({ toolClasses: ['impactWrench'], driveSizes: ['square12.5'] });
    workshop.pull(workshop.addTool('Tarnwick T6'), 500);
    workshop.pull(workshop.addTool('Brindlow B4', { toolClass: 'impactWrench' }), 300);
    workshop.pull(workshop.addTool('Corvane C8', { toolClass: 'drill' }), 300);
    const standings = await workshop.standings();
    expect(whyNotRanked(standings, 'Tarnwick T6')).toEqual([
      'The table takes in impact wrench only, and the class of this tool is not entered. Enter it in Tools.',
    ]);
    expect(whyNotRanked(standings, 'Brindlow B4')).toEqual([
      'The table takes in square 12.5 only, and the drive size of this tool is not entered. Enter it in Tools.',
    ]);
    expect(() => whyNotRanked(standings, 'Corvane C8')).toThrow('is not in the table');
  });

  it('because its price is not entered, or in a currency without a rate', async () => {
    const workshop = openWorkshop();
    const price = { id: 'p', kind: 'bare', amount: 199, on: '2026-01-02', source: 'demo shop' } as const;
    const tools = {
      hollin: workshop.addTool('Hollin H5', { prices: [{ ...price, currency: 'EUR' }] }),
      tarnwick: workshop.addTool('Tarnwick T6', { prices: [{ ...price, currency: 'USD' }] }),
      brindlow: workshop.addTool('Brindlow B4'),
    };
    for (const tool of Object.values(tools)) workshop.pull(tool, 400);
    const schemeId = await workshop.saveScheme(
      scheme([
        term({
          id: 'worth',
          label: 'Worth',
          measure: { ...sustained, of: 'ratio', per: 'priceBare' },
        }),
      ]),
    );
    await workshop.saveTable({ schemeId });
    const before = await workshop.standings();
    expect(whyNotRanked(before, 'Hollin H5')).toBeNull();
    expect(whyNotRanked(before, 'Tarnwick T6')).toEqual([
      'Worth: The price is in USD and no rate to EUR is entered.',
    ]);
    expect(whyNotRanked(before, 'Brindlow B4')).toEqual(['Worth: No price of the bare tool is entered.']);

    workshop.addRate('USD', 'EUR', 0.9);
    const after = await workshop.standings();
    expect(whyNotRanked(after, 'Tarnwick T6')).toBeNull();
    expect(after.rows[0]).toMatchObject({ contender: { toolName: 'Tarnwick T6' }, place: 1 });
  });

  it('and an archived tool without trials is nowhere, one with trials stays', async () => {
    const workshop = await workshopWithTable();
    const tarnwick = workshop.addTool('Tarnwick T6', {}, { isArchived: true });
    await expect(workshop.standings().then((found) => whyNotRanked(found, 'Tarnwick T6'))).rejects.toThrow(
      'is not in the table',
    );
    workshop.pull(tarnwick, 500);
    expect(listBenchItems(workshop.database).tools).toHaveLength(2);
    expect(whyNotRanked(await workshop.standings(), 'Tarnwick T6')).toBeNull();
  });
});

describe('archiving a tool that was pulled by its name alone', () => {
  const putAway = (workshop: Workshop, id: string, name: string): void => {
    const tool = listBenchItems(workshop.database).tools.find((one) => one.id === id);
    if (tool === undefined) throw new Error(`No tool ${id}`);
    workshop.know({ ...tool, name, isArchived: true });
  };

  it('changes nothing of a table that holds it', async () => {
    const workshop = await workshopWithTable();
    workshop.addTool('Tarnwick T6');
    for (const value of [500, 510]) workshop.pullNamed('Tarnwick T6', value);
    const before = await workshop.standings();
    expect(whyNotRanked(before, 'Tarnwick T6')).toBeNull();
    putAway(workshop, 'tool-Tarnwick T6', 'Tarnwick T6');
    expect(await workshop.standings()).toEqual(before);
  });

  it('leaves its name to the next one in use, and of two put away nobody knows whose trials they are', async () => {
    const workshop = await workshopWithTable();
    workshop.addTool('Tarnwick T6');
    workshop.pullNamed('Tarnwick T6', 500);
    putAway(workshop, 'tool-Tarnwick T6', 'Tarnwick T6');
    workshop.addTool('Tarnwick T6 new', {}, { name: 'Tarnwick T6' });
    const tarnwickOf = async () =>
      [...(await workshop.standings()).rows, ...(await workshop.standings()).notRanked].find(
        ({ contender }) => contender.key === 'name:tarnwick t6',
      )?.contender.toolId;
    expect(await tarnwickOf()).toBe('tool-Tarnwick T6 new');
    putAway(workshop, 'tool-Tarnwick T6 new', 'Tarnwick T6');
    expect(await tarnwickOf()).toBeNull();
    expect(whyNotRanked(await workshop.standings(), 'Tarnwick T6')?.[0]).toContain('No tool of the list');
    // Under another name it is no longer in the way.
    putAway(workshop, 'tool-Tarnwick T6 new', 'Tarnwick T7');
    expect(await tarnwickOf()).toBe('tool-Tarnwick T6');
  });
});

describe('a tool with one trial only', () => {
  it('is ranked, with a caution', async () => {
    const workshop = await workshopWithTable();
    workshop.pull(workshop.addTool('Tarnwick T6'), 500);
    const { rows } = await workshop.standings();
    expect(rows[0]?.contender.toolName).toBe('Tarnwick T6');
    expect(rows[0]?.cautions).toEqual([
      'Strength rests on one trial; how it scatters is taken from the others.',
    ]);
  });
});
