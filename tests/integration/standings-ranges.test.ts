import { setImmediate as turnOfOthers } from 'node:timers/promises';
import { beforeEach, describe, expect, it } from 'vitest';
import { getEdition } from '../../main/storage/edition-repository.ts';
import { createSession } from '../../main/storage/session-repository.ts';
import type { Setup } from '../../shared-lib/run-sheet/setup-model.ts';
import { openWorkshop, scheme, type Workshop } from './standings-support/ranked-workshop.ts';

let workshop: Workshop;
let tools: Setup[];

beforeEach(async () => {
  // A clock by which each look at it takes five milliseconds, so that a slice is a few steps on any machine.
  let us = 0;
  workshop = openWorkshop({ monotonicUs: () => (us += 5000) });
  tools = Array.from({ length: 12 }, (_, index) => workshop.addTool(`Demo tool ${index}`));
  for (const [index, tool] of tools.entries()) {
    for (const share of [0.98, 1, 1.03]) workshop.pull(tool, (300 + 10 * index) * share);
  }
  await workshop.saveTable({ schemeId: await workshop.saveScheme(scheme()) });
});

const ranges = async () => workshop.handlers.getPlaceRanges({ tableId: 'table-1' });

describe('the ranges of the places', () => {
  it('hold the place of each and are the same each time', async () => {
    const [first, { rows }] = [await ranges(), await workshop.standings()];
    expect(first.drawCount).toBe(10_000);
    expect(first.ranges).toHaveLength(tools.length);
    for (const { contender, place } of rows) {
      const range = first.ranges.find(({ key }) => key === contender.key);
      expect(range?.bestPlace).toBeLessThanOrEqual(place);
      expect(range?.worstPlace).toBeGreaterThanOrEqual(place);
    }
    expect(await ranges()).toEqual(first);
  });

  it('are computed in slices of some milliseconds, and others have their turn after each of them', async () => {
    const turns: string[] = [];
    const asked = ranges().then(() => turns.push('done'));
    while (!turns.includes('done')) {
      turns.push('turn');
      await turnOfOthers();
    }
    await asked;
    expect(turns.length).toBeGreaterThan(100);
  });

  it('that are asked for twice at once are computed once', async () => {
    const [one, other] = await Promise.all([ranges(), ranges()]);
    expect(other).toBe(one);
  });

  it('are those of the newer state for everybody, where something changed while they were computed', async () => {
    const [strongest] = tools.slice(-1);
    if (strongest === undefined) throw new Error('There is no tool');
    const early = ranges();
    await turnOfOthers();
    for (const torque of [900, 910, 905]) workshop.pull(strongest, torque);
    workshop.pull(workshop.addTool('Late demo tool'), 333);
    const late = ranges();
    const [fromEarly, fromLate] = await Promise.all([early, late]);
    expect(fromEarly).toEqual(fromLate);
    expect(fromLate).toEqual(await ranges());
    expect(fromLate.ranges).toHaveLength(tools.length + 1);
  });

  it('of an edition are those of the state that it froze, whatever is asked for meanwhile', async () => {
    const expected = await ranges();
    const edition = workshop.handlers.makeEdition({ tableId: 'table-1', name: 'Spring', note: '' });
    workshop.pull(workshop.addTool('Late demo tool'), 333);
    const [{ id }] = await Promise.all([edition, ranges()]);
    const { placeRanges } = await workshop.handlers.getEdition({ editionId: id });
    expect(placeRanges).toEqual(expected);
  });

  it('are given up when the program closes, and whoever waits is told', async () => {
    const asked = Promise.allSettled([
      ranges(),
      workshop.handlers.makeEdition({ tableId: 'table-1', name: 'Late', note: '' }),
    ]);
    await turnOfOthers();
    workshop.parts.close();
    for (const outcome of await asked) {
      expect(outcome).toMatchObject({ status: 'rejected', reason: { code: 'shutting-down' } });
    }
    expect((await workshop.handlers.listEditions({ tableId: 'table-1' })).editions).toEqual([]);
    await expect(ranges()).rejects.toMatchObject({ code: 'shutting-down' });
  });
});

describe('what a day does', () => {
  it('goes into the input once a setup was pulled on three days, of trials that count only', async () => {
    const { database, transducer } = workshop;
    const [tool] = tools;
    if (tool === undefined) throw new Error('There is no tool');
    const dayToDay = async () => {
      const { id } = await workshop.handlers.makeEdition({ tableId: 'table-1', name: 'Days', note: '' });
      return getEdition(database, id).input.dayToDay;
    };
    for (const sessionId of ['day-2', 'day-3']) {
      createSession(database, {
        id: sessionId,
        transducerId: transducer.id,
        startedAt: workshop.next(),
        operator: '',
      });
    }
    const ln = (torqueNm: number): number => Math.log(torqueNm);
    workshop.sleep();
    workshop.pull(tool, { sustainedNm: 330, sessionId: 'day-2' });
    workshop.sleep();
    const third = workshop.pull(tool, { sustainedNm: 310, sessionId: 'day-3' });
    // The first day had 294, 300 and 309.
    const means = [(ln(294) + ln(300) + ln(309)) / 3, ln(330), ln(310)];
    const mean = means.reduce((sum, value) => sum + value, 0) / 3;
    const variance = means.reduce((sum, value) => sum + (value - mean) ** 2, 0) / 2;
    const [known] = await dayToDay();
    expect(known?.standardDeviation).toBeCloseTo(Math.sqrt(variance), 12);
    expect(known?.degreesOfFreedom).toBe(2);
    workshop.voidTrial(third);
    expect(await dayToDay()).toEqual([null]);
  });
});

describe('the sensitivity of a table', () => {
  it('is told for each term, the same each time', async () => {
    const found = await workshop.handlers.getSensitivity({ tableId: 'table-1' });
    expect(found.terms.map(({ termId }) => termId)).toEqual(['strength']);
    expect(await workshop.handlers.getSensitivity({ tableId: 'table-1' })).toEqual(found);
  });
});
