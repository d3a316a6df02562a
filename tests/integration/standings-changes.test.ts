import { beforeEach, describe, expect, it } from 'vitest';
import { insertCalibration } from '../../main/storage/calibration-repository.ts';
import { relabel } from '../../main/storage/relabelling-repository.ts';
import { insertMerge } from '../../main/storage/tool-merge-repository.ts';
import type { Price } from '../../shared-lib/catalogue/catalogue-model.ts';
import type { Setup } from '../../shared-lib/run-sheet/setup-model.ts';
import type { SchemeDraft } from '../../shared-lib/standings/scheme-model.ts';
import type { Standings, StandingsChange } from '../../shared-lib/standings/standings-model.ts';
import { calibration } from './storage-support/bench-fixture.ts';
import {
  cellsOf,
  openWorkshop,
  operator,
  scheme,
  sustained,
  term,
  type Workshop,
} from './standings-support/ranked-workshop.ts';

/** Four tools, ranked by points per 10 N·m, per 10 EUR that they cost, and per point of their handling. */
const price = (amount: number, currency = 'EUR', on = '2026-01-02'): Price => ({
  id: `price-${on}`,
  kind: 'bare',
  amount,
  currency,
  on,
  source: 'demo shop',
});
const points: SchemeDraft = scheme(
  [
    term(),
    term({
      id: 'price',
      label: 'Price',
      measure: { of: 'tool', property: 'priceBare' },
      better: 'less',
    }),
    term({
      id: 'handling',
      label: 'Handling',
      measure: { of: 'tool', property: 'handling' },
      how: { way: 'perUnit', points: 2, amount: 1 },
      missing: 'leaveOut',
    }),
  ],
  { name: 'Strength, price and handling (demo)' },
);

let workshop: Workshop;
let hollin: Setup;
let tarnwick: Setup;
let corvane: Setup;
let trials: { hollin: string[]; tarnwick: string[] };
let before: Standings;
let editionId: string;

beforeEach(async () => {
  workshop = openWorkshop();
  hollin = workshop.addTool('Hollin H5', { prices: [price(200)] });
  tarnwick = workshop.addTool('Tarnwick T6', { prices: [price(220, 'USD')] });
  corvane = workshop.addTool('Corvane C8', { prices: [price(150)] });
  workshop.addRate('USD', 'EUR', 0.9);
  workshop.rate(hollin.toolId, 'Demo rater', 7);
  trials = {
    hollin: [400, 410, 420].map((value) => workshop.pull(hollin, value)),
    tarnwick: [500, 505].map((value) => workshop.pull(tarnwick, value)),
  };
  workshop.pull(corvane, 300);
  await workshop.saveTable({ schemeId: await workshop.saveScheme(points) });
  before = await workshop.standings();
  const edition = await workshop.handlers.makeEdition({ tableId: 'table-1', name: 'Before', note: '' });
  editionId = edition.id;
});

/** Cells that are other than before, by contender and term. */
async function changedCells(): Promise<string[]> {
  const then = cellsOf(before);
  const now = cellsOf(await workshop.standings());
  return [...new Set([...then.keys(), ...now.keys()])].filter(
    (cell) => JSON.stringify(then.get(cell)) !== JSON.stringify(now.get(cell)),
  );
}

async function changesSinceEdition(): Promise<StandingsChange[]> {
  const { changes } = await workshop.handlers.compareEditions({
    fromEditionId: editionId,
    toEditionId: null,
  });
  return changes;
}

/** The reasons given for the cell of a contender, from the edition to now. */
async function reasonsFor(label: string, termId: string): Promise<string> {
  const change = (await changesSinceEdition()).find((candidate) => candidate.label === label);
  return change?.cells.find((cell) => cell.termId === termId)?.because.join(' ') ?? 'none';
}

const geometricMean = (...values: number[]): number =>
  Math.exp(values.reduce((sum, value) => sum + Math.log(value), 0) / values.length);

/** The points of a cell, worked out here from nothing but what was put in. */
async function expectPoints(label: string, termId: string, expected: number): Promise<void> {
  expect(cellsOf(await workshop.standings()).get(`${label} / ${termId}`)?.points).toBeCloseTo(expected, 9);
}

describe('standings from what was put in', () => {
  it('are the sums that anybody can work out', () => {
    const cells = cellsOf(before);
    expect(cells.get('Hollin H5 / strength')?.points).toBeCloseTo(geometricMean(400, 410, 420) / 10, 9);
    expect(cells.get('Tarnwick T6 / price')?.points).toBeCloseTo((-220 * 0.9) / 10, 9);
    expect(cells.get('Hollin H5 / handling')?.points).toBe(14);
    expect(cells.get('Corvane C8 / handling')).toMatchObject({ value: null, points: null });
    expect(before.rows.map(({ contender, place }) => `${place} ${contender.label}`)).toEqual([
      '1 Hollin H5',
      '2 Tarnwick T6',
      '3 Corvane C8',
    ]);
    expect(before.rows[1]?.total).toBeCloseTo(geometricMean(500, 505) / 10 - 19.8, 8);
  });

  it('are the same when nothing was changed, whoever computes them', async () => {
    expect(await workshop.standings()).toEqual(before);
    expect(await changesSinceEdition()).toEqual([]);
  });
});

describe('exactly the cells that depend on it change, and the reason is named', () => {
  it('after a new price', async () => {
    workshop.know(
      {
        id: hollin.toolId,
        name: 'Hollin H5',
        supply: 'battery',
        declaredVibrationMps2: null,
        declaredNoiseDbA: null,
        isArchived: false,
      },
      { prices: [price(200), price(180, 'EUR', '2026-02-01')] },
    );
    expect(await changedCells()).toEqual(['Hollin H5 / price']);
    await expectPoints('Hollin H5', 'price', -18);
    expect(await reasonsFor('Hollin H5', 'price')).toMatch(/price/i);
  });

  it('after a price that is dated after today, nothing', async () => {
    workshop.know(
      {
        id: hollin.toolId,
        name: 'Hollin H5',
        supply: 'battery',
        declaredVibrationMps2: null,
        declaredNoiseDbA: null,
        isArchived: false,
      },
      { prices: [price(200), price(90, 'EUR', '2030-01-01')] },
    );
    expect(await changedCells()).toEqual([]);
  });

  it('after another exchange rate', async () => {
    workshop.addRate('USD', 'EUR', 0.8, '2026-02-01');
    expect(await changedCells()).toEqual(['Tarnwick T6 / price']);
    await expectPoints('Tarnwick T6', 'price', -17.6);
    expect(await reasonsFor('Tarnwick T6', 'price')).toMatch(/rate|price/i);
  });

  it('after a trial was voided, and not at all once that was taken back', async () => {
    const [first = ''] = trials.hollin;
    workshop.voidTrial(first);
    expect(await changedCells()).toEqual(['Hollin H5 / strength']);
    await expectPoints('Hollin H5', 'strength', geometricMean(410, 420) / 10);
    expect(await reasonsFor('Hollin H5', 'strength')).toMatch(/voided/);
    workshop.restoreTrial(first);
    expect(await workshop.standings()).toEqual(before);
    expect(await changesSinceEdition()).toEqual([]);
  });

  it('after a trial is read by another calibration', async () => {
    insertCalibration(
      workshop.database,
      calibration({ id: 'calibration-2', label: 'Second demo calibration', createdAt: workshop.next() }),
      { reason: 'A heavier weight' },
    );
    expect(await changedCells()).toEqual([]);
    const [first = ''] = trials.tarnwick;
    workshop.reassign(first, 'calibration-2', 510);
    expect(await changedCells()).toEqual(['Tarnwick T6 / strength']);
    await expectPoints('Tarnwick T6', 'strength', geometricMean(510, 505) / 10);
    expect(await reasonsFor('Tarnwick T6', 'strength')).toMatch(/calibration/);
  });

  it('after a new trial', async () => {
    workshop.pull(corvane, 330);
    expect(await changedCells()).toEqual(['Corvane C8 / strength']);
    await expectPoints('Corvane C8', 'strength', geometricMean(300, 330) / 10);
    expect(await reasonsFor('Corvane C8', 'strength')).toMatch(/trial/);
  });

  it('after a rating', async () => {
    workshop.rate(corvane.toolId, 'Demo rater', 9);
    expect(await changedCells()).toEqual(['Corvane C8 / handling']);
    await expectPoints('Corvane C8', 'handling', 18);
    expect(await reasonsFor('Corvane C8', 'handling')).toMatch(/handling|rat/i);
  });

  it('after a term of the scheme was changed', async () => {
    const { schemeId } = before.scheme;
    await workshop.saveScheme(
      { ...points, terms: points.terms.map((one) => (one.id === 'handling' ? { ...one, factor: 2 } : one)) },
      schemeId,
    );
    expect(await changedCells()).toEqual(['Hollin H5 / handling']);
    await expectPoints('Hollin H5', 'handling', 28);
    expect(await reasonsFor('Hollin H5', 'handling')).toMatch(/factor/);
  });

  it('after a trial turned out to be of another tool', async () => {
    const [first = ''] = trials.hollin;
    relabel(workshop.database, first, {
      toolName: 'Corvane C8',
      setup: {
        setupId: corvane.id,
        toolId: corvane.toolId,
        toolName: 'Corvane C8',
        supply: 'battery',
        declaredVibrationMps2: null,
        declaredNoiseDbA: null,
        packId: null,
        packName: null,
        packCapacityAh: null,
        setting: '',
        socket: null,
      },
      reason: 'The wrong tool was in hand',
      operator,
      at: workshop.next(),
    });
    expect((await changedCells()).sort()).toEqual(['Corvane C8 / strength', 'Hollin H5 / strength']);
    await expectPoints('Corvane C8', 'strength', geometricMean(300, 400) / 10);
  });

  it('after two entries were merged, and not at all once that was taken back', async () => {
    const merge = (intoToolId: string | null): void => {
      insertMerge(workshop.database, {
        toolId: corvane.toolId,
        intoToolId,
        reason: 'One tool',
        operator,
        at: workshop.next(),
      });
    };
    merge(hollin.toolId);
    const cells = await changedCells();
    expect(cells).toEqual([
      'Hollin H5 / strength',
      'Corvane C8 / strength',
      'Corvane C8 / price',
      'Corvane C8 / handling',
    ]);
    expect(cellsOf(await workshop.standings()).size).toBe(2 * points.terms.length);
    await expectPoints('Hollin H5', 'strength', geometricMean(400, 410, 420, 300) / 10);
    merge(null);
    expect(await workshop.standings()).toEqual(before);
  });

  it('after the table lets in good trials only, those of the trials that it keeps out', async () => {
    workshop.pull(corvane, { sustainedNm: 360, verdict: 'look' });
    await expectPoints('Corvane C8', 'strength', geometricMean(300, 360) / 10);
    await workshop.saveTable({ schemeId: before.scheme.schemeId, gate: 'goodOnly' });
    expect(await changedCells()).toEqual([]);
  });

  it('after the currency of the table is another, those of the prices', async () => {
    await workshop.saveTable({ schemeId: before.scheme.schemeId, currency: 'USD' });
    expect((await changedCells()).sort()).toEqual([
      'Corvane C8 / price',
      'Hollin H5 / price',
      'Tarnwick T6 / price',
    ]);
    await expectPoints('Hollin H5', 'price', -200 / 0.9 / 10);
    await expectPoints('Tarnwick T6', 'price', -22);
  });

  it('where a share of the best is asked for, everybody’s of that term when the best one changes', async () => {
    await workshop.saveScheme(
      {
        ...points,
        terms: [term({ how: { way: 'shareOfBest', points: 100 } }), ...points.terms.slice(1)],
      },
      before.scheme.schemeId,
    );
    before = await workshop.standings();
    workshop.pull(tarnwick, 560);
    expect((await changedCells()).sort()).toEqual([
      'Corvane C8 / strength',
      'Hollin H5 / strength',
      'Tarnwick T6 / strength',
    ]);
    await expectPoints(
      'Hollin H5',
      'strength',
      (100 * geometricMean(400, 410, 420)) / geometricMean(500, 505, 560),
    );
    await expectPoints('Tarnwick T6', 'strength', 100);
  });
});

describe('a table', () => {
  it('refuses a scheme that is not there and a name that another one has', async () => {
    await expect(workshop.saveTable({ schemeId: 'nowhere' })).rejects.toMatchObject({
      code: 'scheme-not-found',
    });
    await expect(
      workshop.saveTable({ id: 'table-2', name: 'all of THEM (demo)', schemeId: before.scheme.schemeId }),
    ).rejects.toMatchObject({ code: 'invalid-request' });
    await workshop.saveTable({ schemeId: before.scheme.schemeId, isArchived: true });
    await workshop.saveTable({ id: 'table-2', schemeId: before.scheme.schemeId });
    const { tables } = await workshop.handlers.listStandingsTables({});
    expect(tables.map(({ id }) => id)).toEqual(['table-2']);
    expect(workshop.events.filter((name) => name === 'standingsChanged').length).toBeGreaterThanOrEqual(4);
  });

  it('that is not there is told so', () => {
    expect(() => workshop.handlers.getStandings({ tableId: 'nowhere' })).toThrow(
      expect.objectContaining({ code: 'standings-not-found' }) as Error,
    );
  });

  it('opens a cell down to its trials, with what is left out and why', async () => {
    const [first = ''] = trials.hollin;
    workshop.voidTrial(first);
    const key = `setup:${hollin.id}`;
    const cell = await workshop.handlers.getStandingsCell({
      tableId: 'table-1',
      editionId: null,
      key,
      termId: 'strength',
    });
    expect(cell.trials).toEqual([
      expect.objectContaining({ trialId: first, value: 400, leftOutBecause: 'voided' }),
      expect.objectContaining({ value: 410, leftOutBecause: null, calibrationLabel: 'Demo calibration' }),
      expect.objectContaining({ value: 420, leftOutBecause: null }),
    ]);
    expect(cell.cell.count).toBe(2);
    const frozen = await workshop.handlers.getStandingsCell({
      tableId: 'table-1',
      editionId,
      key,
      termId: 'strength',
    });
    expect(frozen.trials.map(({ leftOutBecause }) => leftOutBecause)).toEqual([null, null, null]);
    const priced = await workshop.handlers.getStandingsCell({
      tableId: 'table-1',
      editionId: null,
      key,
      termId: 'price',
    });
    expect(priced.trials).toEqual([]);
    expect(priced.sources.join(' ')).toContain('demo shop');
  });

  it('opens the cell of another scheme to all the trials behind it, with no value where they are of several measures', async () => {
    const pace = { ...sustained, measure: { figure: 'torqueAt', atS: 1 } } as const;
    const inner = await workshop.saveScheme(
      scheme([term(), term({ id: 'pace', label: 'Pace', measure: pace })], { name: 'Inner (demo)' }),
    );
    const outer = await workshop.saveScheme(
      scheme([term({ id: 'inner', label: 'Inner', measure: { of: 'scheme', schemeId: inner } })], {
        name: 'Outer (demo)',
      }),
    );
    await workshop.saveTable({ id: 'table-2', name: 'Outer (demo)', schemeId: outer });
    const { cell, trials: behind } = await workshop.handlers.getStandingsCell({
      tableId: 'table-2',
      editionId: null,
      key: `setup:${hollin.id}`,
      termId: 'inner',
    });
    expect(cell.value).toBeCloseTo(geometricMean(400, 410, 420) / 10 + 20, 9);
    expect(behind.map(({ value }) => value)).toEqual([null, null, null]);
  });

  it('refuses a cell of nobody, and of no term', () => {
    const open = (key: string, termId: string) =>
      workshop.handlers.getStandingsCell({ tableId: 'table-1', editionId: null, key, termId });
    expect(() => open('setup:nobody', 'strength')).toThrow(
      expect.objectContaining({ code: 'contender-not-found' }) as Error,
    );
    expect(() => open(`setup:${hollin.id}`, 'nothing')).toThrow(
      expect.objectContaining({ code: 'scheme-invalid' }) as Error,
    );
  });
});
