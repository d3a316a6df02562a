import { afterEach, beforeEach, describe, expect, it } from 'vitest';
import { confirmFedSense, type FedBench, startFedBench } from '../helpers/bench-with-fed-reader.ts';
import {
  atOnce,
  coded,
  draft,
  hollin,
  hollinSetup,
  openNewSheet,
  pack1,
  pullOnFedBench,
  putInItems,
  shortPlan,
  takeUp,
} from '../helpers/run-sheet-fixture.ts';

let bench: FedBench;

beforeEach(async () => {
  bench = await startFedBench();
  await putInItems(bench.handlers);
});
afterEach(() => bench.close());

describe('making a run sheet', () => {
  it('is refused with a tool that was put away, whose trials and older sheets stay readable', async () => {
    await confirmFedSense(bench);
    const sheet = await openNewSheet(bench.handlers, { setupIds: [hollinSetup.id] });
    await takeUp(bench.handlers);
    const trialId = await pullOnFedBench(bench);
    await bench.handlers.saveTool({ tool: { ...hollin, isArchived: true } });
    const { findings } = await bench.handlers.previewRunSheet({ draft: draft() });
    expect(findings[0]).toMatchObject({ severity: 'stop', code: 'tool-archived' });
    await expect(atOnce(() => bench.handlers.makeRunSheet({ draft: draft() }))).rejects.toEqual(
      coded('run-sheet-invalid'),
    );
    expect((await bench.handlers.listRunSheets({})).runSheets).toHaveLength(1);
    expect((await bench.handlers.getTrial({ trialId })).summary.setup?.toolName).toBe(hollin.name);
    const { entries } = await bench.handlers.getRunSheet({ runSheetId: sheet.id });
    expect(entries).toMatchObject([{ state: 'done', trialIds: [trialId] }]);
  });

  it('says beforehand what would come of it', async () => {
    const plan = { ...shortPlan, rounds: 2, conditioningPulls: 1 };
    const preview = await bench.handlers.previewRunSheet({ draft: draft({ plan, order: 'rounds' }) });
    expect(preview).toMatchObject({ countedCount: 4, uncountedCount: 2 });
    expect(preview.entries).toHaveLength(6);
    expect(preview.durationS).toBeGreaterThan(60);
    expect(preview.protects).toContain('ABBA');
    const sheet = await bench.handlers.makeRunSheet({ draft: draft({ plan, order: 'rounds' }) });
    expect(sheet.entries.map(({ setup, role, round }) => [setup, role, round])).toEqual(
      preview.entries.map(({ setup, role, round }) => [setup, role, round]),
    );
    expect(bench.status().runSheet).toBeNull();
  });

  it('is refused for what is not known here, and for more pulls than a sheet takes', async () => {
    for (const changes of [{ setupIds: ['nobody'] }, { referenceSetupId: 'nobody' }]) {
      await expect(atOnce(() => bench.handlers.makeRunSheet({ draft: draft(changes) }))).rejects.toEqual(
        coded('run-sheet-invalid'),
      );
    }
    const step = shortPlan.steps[0];
    if (!step) throw new Error('The plan has no step');
    const endless = draft({
      plan: { ...shortPlan, rounds: 30, steps: Array.from({ length: 12 }, () => ({ ...step, repeats: 20 })) },
    });
    const preview = await bench.handlers.previewRunSheet({ draft: endless });
    expect(preview).toMatchObject({ entries: [], countedCount: 14_400, uncountedCount: 0 });
    await expect(atOnce(() => bench.handlers.makeRunSheet({ draft: endless }))).rejects.toThrow(
      /14.400 pulls, more than the 400/,
    );
  });

  it('knows no sheet and no pull by an invented id', async () => {
    const notFound = coded('run-sheet-not-found');
    for (const ask of [
      () => bench.handlers.getRunSheet({ runSheetId: 'nobody' }),
      () => bench.handlers.openRunSheet({ runSheetId: 'nobody' }),
      () => bench.handlers.closeRunSheet({ runSheetId: 'nobody', reason: null }),
      () => bench.handlers.skipEntry({ entryId: 'nobody', reason: 'No reason.' }),
      () => bench.handlers.takeBackSkip({ entryId: 'nobody' }),
      () => bench.handlers.moveEntry({ entryId: 'nobody', beforeEntryId: null }),
    ]) {
      await expect(atOnce(ask)).rejects.toEqual(notFound);
    }
    const sheet = await openNewSheet(bench.handlers);
    await expect(
      atOnce(() =>
        bench.handlers.moveEntry({ entryId: sheet.entries[0]?.id ?? '', beforeEntryId: 'nobody' }),
      ),
    ).rejects.toEqual(notFound);
    await bench.handlers.updateSettings({ runSheetId: 'nobody' });
    expect(bench.status()).toMatchObject({ runSheet: null, step: { toolName: 'Hollin H5' } });
  });
});

describe('tools, packs, setups and plans', () => {
  it('tell each other apart, and are told to every window', async () => {
    const told: string[] = [];
    bench.services.onEvent((name) => told.push(name));
    const { handlers } = bench;
    const refused = async (work: () => unknown, code: string): Promise<void> => {
      await expect(atOnce(work)).rejects.toEqual(coded(code));
    };
    await refused(() => handlers.saveTool({ tool: { ...hollin, id: 'other' } }), 'invalid-request');
    await refused(
      () => handlers.saveTool({ tool: { ...hollin, id: 'other', name: hollin.name.toUpperCase() } }),
      'invalid-request',
    );
    await refused(() => handlers.savePack({ pack: { ...pack1, id: 'other' } }), 'invalid-request');
    await refused(() => handlers.saveSetup({ setup: { ...hollinSetup, id: 'other' } }), 'invalid-request');
    const foreign = { ...hollinSetup, id: 'other', toolId: 'nobody' };
    await refused(() => handlers.saveSetup({ setup: foreign }), 'bench-item-not-found');
    await refused(
      () => handlers.saveSetup({ setup: { ...foreign, toolId: hollin.id, packId: 'nobody' } }),
      'bench-item-not-found',
    );
    expect(told).not.toContain('runSheetsChanged');

    await handlers.saveSetup({ setup: { ...hollinSetup, id: 'other', setting: '3' } });
    // A name is free again once its tool was put away.
    await handlers.saveTool({ tool: { ...hollin, isArchived: true } });
    const { tools, setups } = await handlers.saveTool({ tool: { ...hollin, id: 'another' } });
    expect(tools.filter(({ name }) => name === hollin.name)).toHaveLength(2);
    expect(setups.filter(({ toolId }) => toolId === hollin.id)).toHaveLength(2);
    await refused(() => handlers.saveTool({ tool: hollin }), 'invalid-request');
    expect(told.filter((name) => name === 'runSheetsChanged')).toHaveLength(3);
  });

  it('keep own plans beside the ready-made ones, which stay as they are', async () => {
    const { handlers } = bench;
    const { plans: before, ownPlanIds } = await handlers.listPlans({});
    expect(before.map(({ name }) => name)).toEqual([
      'Forward 5 s',
      'Reverse 10 s',
      'Reverse 15 s',
      'Full set',
    ]);
    expect(ownPlanIds).toEqual([]);
    const [ready] = before;
    if (!ready) throw new Error('There is no ready-made plan');
    const invalid = coded('plan-invalid');
    await expect(atOnce(() => handlers.savePlan({ plan: { ...ready, rounds: 9 } }))).rejects.toEqual(invalid);
    await expect(atOnce(() => handlers.savePlan({ plan: { ...ready, id: 'own' } }))).rejects.toEqual(invalid);
    const [step] = shortPlan.steps;
    if (!step) throw new Error('The plan has no step');
    await expect(
      atOnce(() => handlers.savePlan({ plan: { ...shortPlan, steps: [{ ...step, preloadNm: 100 }] } })),
    ).rejects.toThrow('A preload belongs to a breakaway step only');
    await handlers.savePlan({ plan: shortPlan });
    await expect(atOnce(() => handlers.savePlan({ plan: { ...shortPlan, id: 'own-2' } }))).rejects.toEqual(
      invalid,
    );
    const saved = await handlers.savePlan({ plan: { ...shortPlan, rounds: 4 } });
    expect(saved.plans.at(-1)).toEqual({ ...shortPlan, rounds: 4 });
    expect(saved.ownPlanIds).toEqual([shortPlan.id]);
    await expect(atOnce(() => handlers.deletePlan({ planId: ready.id }))).rejects.toEqual(
      coded('invalid-state'),
    );
    expect((await handlers.deletePlan({ planId: shortPlan.id })).plans).toEqual(before);
    await expect(atOnce(() => handlers.deletePlan({ planId: shortPlan.id }))).rejects.toEqual(
      coded('plan-not-found'),
    );
  });

  it('can be asked how many rounds a margin takes', async () => {
    const answer = await bench.handlers.planRounds({
      plan: shortPlan,
      setupCount: 2,
      hasReference: false,
      minutesAtHand: 60,
      scatterPercent: 1.5,
      marginPercent: 5,
    });
    expect(answer.roundsNeeded).toBeGreaterThanOrEqual(2);
    expect(answer.roundsThatFit).toBeGreaterThan(0);
  });
});
