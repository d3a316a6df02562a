import { afterEach, beforeEach, describe, expect, it } from 'vitest';
import { armWhenAtRest } from '../helpers/arm-when-at-rest.ts';
import { onBench, openNewSheet, putInItems, takeUp } from '../helpers/run-sheet-fixture.ts';
import { makeDataFolder, startRealServices, type RunningServices } from '../helpers/running-services.ts';

let folder: ReturnType<typeof makeDataFolder>;
let bench: RunningServices;

beforeEach(async () => {
  folder = makeDataFolder();
  bench = await startRealServices(folder.path);
  await bench.handlers.connectSimulatedBench({});
});
afterEach(async () => {
  await bench.close();
  folder.remove();
});

async function pull(): Promise<string> {
  await bench.until('a bench without obstacles', ({ obstacles }) => obstacles.length === 0);
  await armWhenAtRest(bench.handlers);
  await bench.untilPhase('run');
  const { trialId } = await bench.untilPhase('kept', 30_000);
  return trialId;
}

describe('a run sheet on the simulated bench', () => {
  it('is pulled through, with a void, a restart in the middle, and the tool of each setup', async () => {
    await putInItems(bench.handlers);
    const sheet = await openNewSheet(bench.handlers);
    const [first, second] = sheet.entries;
    const opened = await bench.until('a zero', ({ zero }) => zero !== null);
    expect(opened.step).toEqual(first?.step);
    expect(opened.obstacles).toMatchObject([{ code: 'setup-not-in-hand', remedy: 'setupInHand' }]);
    expect(opened.runSheet).toMatchObject({
      id: sheet.id,
      current: { id: first?.id },
      following: [{ id: second?.id }],
      isSetupInHand: false,
      doneCount: 0,
      totalCount: 2,
    });
    expect(() => bench.handlers.armTrial({})).toThrow('Take up Hollin H5 (demo), Pack 1, Socket 24 mm');

    await takeUp(bench.handlers);
    const hollinTrial = await pull();
    const { summary, conditions } = await bench.handlers.getTrial({ trialId: hollinTrial });
    expect(summary).toMatchObject({
      step: { toolName: 'Hollin H5 (demo)', plannedS: 0.5 },
      setup: first?.setup,
      place: {
        runSheetId: sheet.id,
        entryId: first?.id,
        index: 0,
        round: 1,
        repeat: 1,
        role: 'counted',
      },
    });
    expect(conditions).toMatchObject({
      setup: first?.setup,
      place: summary.place,
      preparation: { packRestedV: null, isCarriedOver: false },
      restedS: null,
      plannedRestS: null,
    });
    const moved = await bench.until('the next entry', ({ runSheet }) => runSheet?.current?.id === second?.id);
    expect(moved.step.toolName).toBe('Brindlow B4 (demo)');
    expect(moved.runSheet).toMatchObject({ doneCount: 1, isSetupInHand: false });

    await bench.close();
    bench = await startRealServices(folder.path);
    expect(await onBench(bench.handlers)).toMatchObject({
      id: sheet.id,
      current: { id: second?.id },
      doneCount: 1,
      isSetupInHand: false,
    });
    await bench.handlers.connectSimulatedBench({});
    await bench.until('a zero', ({ zero }) => zero !== null);
    await takeUp(bench.handlers);
    const brindlowTrial = await pull();
    const over = await bench.until('its end', ({ runSheet }) => runSheet?.current === null);
    expect(over.obstacles).toMatchObject([{ code: 'run-sheet-over' }]);
    const torqueOf = async (trialId: string): Promise<number> => {
      const { figures } = await bench.handlers.getTrial({ trialId });
      const measure = figures?.finalTorqueNm;
      return measure && 'value' in measure ? measure.value : Number.NaN;
    };
    // The simulated operator takes the tool of the setup: the other one is far weaker.
    expect(await torqueOf(brindlowTrial)).toBeLessThan(0.8 * (await torqueOf(hollinTrial)));

    // Voided later, from the Logbook: its pull is open again, and is repeated.
    await bench.handlers.voidTrial({ trialId: hollinTrial, reason: 'The socket had slipped.' });
    expect(await onBench(bench.handlers)).toMatchObject({
      current: { id: first?.id, state: 'open', trialIds: [hollinTrial] },
      isSetupInHand: false,
      doneCount: 1,
    });
    await takeUp(bench.handlers);
    const repeated = await pull();
    const { entries } = await bench.handlers.getRunSheet({ runSheetId: sheet.id });
    expect(entries).toMatchObject([
      { id: first?.id, state: 'done', trialIds: [hollinTrial, repeated] },
      { id: second?.id, state: 'done', trialIds: [brindlowTrial] },
    ]);

    await bench.handlers.closeRunSheet({ runSheetId: sheet.id, reason: null });
    const left = await bench.status();
    expect(left.runSheet).toBeNull();
    expect(left.obstacles).toEqual([]);
    expect(await bench.handlers.listRunSheets({})).toMatchObject({
      runSheets: [{ id: sheet.id, doneCount: 2, totalCount: 2, setupCount: 2 }],
    });
    expect(() => bench.handlers.openRunSheet({ runSheetId: sheet.id })).toThrow('is closed');
  });
});
