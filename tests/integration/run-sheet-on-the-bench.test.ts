import { afterEach, beforeEach, describe, expect, it } from 'vitest';
import {
  armFedBench,
  confirmFedSense,
  type FedBench,
  startFedBench,
} from '../helpers/bench-with-fed-reader.ts';
import {
  atOnce,
  coded,
  hollinSetup,
  nothingFound,
  pullOnFedBench,
  onBench,
  openNewSheet,
  putInItems,
  shortPlan,
  takeUp,
} from '../helpers/run-sheet-fixture.ts';

let bench: FedBench;

/** Two pulls of one setup with a rest of a minute between. */
const withRest = {
  setupIds: [hollinSetup.id],
  plan: {
    ...shortPlan,
    steps: shortPlan.steps.map((step) => ({ ...step, repeats: 2, restS: 60 })),
  },
};

beforeEach(async () => {
  bench = await startFedBench();
  await confirmFedSense(bench);
  await putInItems(bench.handlers);
});
afterEach(() => bench.close());

const pull = (params: { isRestCut?: boolean } = {}) => pullOnFedBench(bench, params);
const entriesOf = async (runSheetId: string) => (await bench.handlers.getRunSheet({ runSheetId })).entries;
const statesOf = async (runSheetId: string) => (await entriesOf(runSheetId)).map(({ state }) => state);

describe('a pull of a run sheet', () => {
  it('is refused to a window that shows another one, and changes nothing there', async () => {
    const sheet = await openNewSheet(bench.handlers);
    await takeUp(bench.handlers);
    const [first, second] = sheet.entries;
    const start = (entryId: string | null) => atOnce(() => bench.handlers.armTrial({ entryId }));
    await expect(start(second?.id ?? '')).rejects.toEqual(coded('bench-moved-on'));
    await expect(start(null)).rejects.toEqual(coded('bench-moved-on'));
    await expect(
      atOnce(() =>
        bench.handlers.confirmSetup({
          entryId: second?.id ?? '',
          preparation: nothingFound,
          lastPackRestedV: null,
        }),
      ),
    ).rejects.toEqual(coded('bench-moved-on'));
    expect(bench.status().trial.phase).toBe('idle');
    await start(first?.id ?? '');
    expect(bench.status().trial.phase).toBe('countdown');
    // While it is under way the sheet stays as it is.
    for (const change of [
      () => bench.handlers.leaveRunSheet({}),
      () => bench.handlers.openRunSheet({ runSheetId: sheet.id }),
      () => bench.handlers.closeRunSheet({ runSheetId: sheet.id, reason: 'No more time.' }),
      () => bench.handlers.skipEntry({ entryId: first?.id ?? '', reason: 'No more time.' }),
      () => bench.handlers.moveEntry({ entryId: second?.id ?? '', beforeEntryId: first?.id ?? '' }),
    ]) {
      await expect(atOnce(change)).rejects.toThrow('the trial under way');
    }
    // What comes later may be skipped meanwhile.
    await bench.handlers.skipEntry({ entryId: second?.id ?? '', reason: 'Its battery is empty.' });
    await bench.handlers.stopTrial({});
    // Off the bench there is no such entry either.
    await bench.handlers.leaveRunSheet({});
    await expect(start(first?.id ?? '')).rejects.toEqual(coded('bench-moved-on'));
    await start(null);
    expect(bench.status().trial).toMatchObject({ phase: 'countdown', step: { toolName: 'Hollin H5' } });
  });

  it('waits for the rest of its setup, or has it cut, and keeps how long it was', async () => {
    const sheet = await openNewSheet(bench.handlers, withRest);
    await takeUp(bench.handlers);
    const first = await pull();
    const { restLeftS, restUntil, current } = await onBench(bench.handlers);
    expect(current?.id).toBe(sheet.entries[1]?.id);
    // It began with the end of the planned time; 5 s of tail and rest came after.
    expect(restLeftS).toBeGreaterThan(50);
    expect(restLeftS).toBeLessThan(58);
    expect(Date.parse(restUntil ?? '')).toBeGreaterThan(0);
    await expect(atOnce(() => bench.handlers.armTrial({}))).rejects.toThrow(/rests for another 5\d s/);

    bench.feed(0, 20);
    const cut = await pull({ isRestCut: true });
    const cutConditions = (await bench.handlers.getTrial({ trialId: cut })).conditions;
    expect(cutConditions.plannedRestS).toBe(60);
    // Until onset: with the count of three and a half seconds.
    expect(cutConditions.restedS).toBeGreaterThan(27);
    expect(cutConditions.restedS).toBeLessThan(31);
    expect((await bench.handlers.getTrial({ trialId: first })).conditions.restedS).toBeNull();

    await bench.handlers.voidTrial({ trialId: cut, reason: 'The rest was too short.' });
    expect((await onBench(bench.handlers)).restLeftS).toBeGreaterThan(50);
    bench.feed(0, 60);
    expect((await onBench(bench.handlers)).restLeftS).toBeNull();
    const whole = await pull();
    expect((await bench.handlers.getTrial({ trialId: whole })).conditions.restedS).toBeGreaterThan(60);
  });

  it('waits for the rest of the pull that really came before it, though another one was planned there', async () => {
    const [step] = shortPlan.steps;
    if (step === undefined) throw new Error('The plan has a step');
    const forward = { ...step, restS: 90 };
    const reverse = { ...step, direction: 'reverse' as const, restS: 300 };
    await openNewSheet(bench.handlers, {
      setupIds: [hollinSetup.id],
      plan: { ...shortPlan, steps: [forward, reverse], rounds: 2 },
    });
    const conditionsOf = async (trialId: string) => (await bench.handlers.getTrial({ trialId })).conditions;
    await takeUp(bench.handlers);
    const first = await pull();
    expect((await conditionsOf(first)).plannedRestS).toBeNull();

    // The first pull of the plan has none before it, but it is made again.
    await bench.handlers.voidTrial({ trialId: first, reason: 'The socket slipped.' });
    expect((await onBench(bench.handlers)).current?.step.direction).toBe('forward');
    expect((await onBench(bench.handlers)).restLeftS).toBeGreaterThan(80);
    const again = await pull({ isRestCut: true });
    expect(await conditionsOf(again)).toMatchObject({ plannedRestS: 90 });

    expect((await onBench(bench.handlers)).current?.step.direction).toBe('reverse');
    bench.feed(0, 90);
    const reversed = await pullOnFedBench(bench, { sign: -1 });
    await bench.handlers.voidTrial({ trialId: reversed, reason: 'The socket slipped.' });
    expect((await onBench(bench.handlers)).current?.step.direction).toBe('reverse');
    expect((await onBench(bench.handlers)).restLeftS).toBeGreaterThan(290);
    const reversedAgain = await pullOnFedBench(bench, { sign: -1, isRestCut: true });
    expect(await conditionsOf(reversedAgain)).toMatchObject({ plannedRestS: 300 });
  });

  it('waits for the rest that a pull of the sheet before has asked for', async () => {
    await openNewSheet(bench.handlers, withRest);
    await takeUp(bench.handlers);
    await pull();
    await openNewSheet(bench.handlers, { setupIds: [hollinSetup.id] });
    expect((await onBench(bench.handlers)).restLeftS).toBeGreaterThan(50);
    await takeUp(bench.handlers);
    const trialId = await pull({ isRestCut: true });
    expect((await bench.handlers.getTrial({ trialId })).conditions.plannedRestS).toBe(60);
    // That one asks for none.
    await bench.handlers.voidTrial({ trialId, reason: 'The rest was too short.' });
    expect((await onBench(bench.handlers)).restLeftS).toBeNull();
  });

  it('waits for the rest after an interrupted pull', async () => {
    await openNewSheet(bench.handlers, withRest);
    await takeUp(bench.handlers);
    await armFedBench(bench);
    bench.feed(200, 0.3);
    await bench.handlers.stopTrial({});
    await bench.untilPhase('interrupted');
    expect((await onBench(bench.handlers)).restLeftS).toBeGreaterThan(55);
  });

  it('stays open after an interrupted trial until that one is kept', async () => {
    const sheet = await openNewSheet(bench.handlers, { setupIds: [hollinSetup.id] });
    await takeUp(bench.handlers);
    await armFedBench(bench);
    bench.feed(200, 0.3);
    await bench.handlers.stopTrial({});
    const { trialId } = await bench.untilPhase('interrupted');
    expect(await entriesOf(sheet.id)).toMatchObject([{ state: 'open', trialIds: [trialId] }]);
    await bench.handlers.keepTrial({ trialId, stopCause: 'hot' });
    expect(await statesOf(sheet.id)).toEqual(['done']);
    expect((await onBench(bench.handlers)).current).toBeNull();
    const { decisions } = await bench.handlers.getTrial({ trialId });
    expect(decisions.map(({ decision, stopCause }) => [decision, stopCause])).toEqual([
      ['interrupted', null],
      ['kept', 'hot'],
    ]);

    await bench.handlers.voidTrial({ trialId, reason: 'It was too short.' });
    expect(await statesOf(sheet.id)).toEqual(['open']);
    await bench.handlers.restoreTrial({ trialId, reason: 'It says enough.' });
    expect(await statesOf(sheet.id)).toEqual(['done']);
  });
});

describe('the setup in hand', () => {
  const asking = { ...shortPlan, rounds: 2, asks: ['packVolts', 'fastener', 'airPressure'] as const };

  it('is asked for once a round, with what was found before and how often the fastener was pulled', async () => {
    await openNewSheet(bench.handlers, { plan: { ...asking, asks: [...asking.asks] } });
    expect(await onBench(bench.handlers)).toMatchObject({
      asks: ['packVolts', 'fastener'],
      prefilled: { packRestedV: null, fastener: null, isCarriedOver: false },
    });
    await takeUp(bench.handlers, { packRestedV: 20.4, fastener: 'Bolt A', fastenerPullsSinceNew: 3 });
    const first = await pull();
    const preparationOf = async (trialId: string) =>
      (await bench.handlers.getTrial({ trialId })).conditions.preparation;
    expect(await preparationOf(first)).toMatchObject({
      packRestedV: 20.4,
      fastener: 'Bolt A',
      fastenerPullsSinceNew: 3,
      isCarriedOver: false,
    });

    // The other tool pulls on the same fastener; its pack is another one.
    const { prefilled, current } = await onBench(bench.handlers);
    expect(prefilled).toMatchObject({
      packRestedV: null,
      fastener: 'Bolt A',
      fastenerPullsSinceNew: 4,
      isCarriedOver: true,
    });
    await bench.handlers.confirmSetup({
      entryId: current?.id ?? '',
      preparation: { ...prefilled, packRestedV: 19.9, isCarriedOver: false },
      lastPackRestedV: 20.1,
    });
    const second = await pull();
    expect(await preparationOf(second)).toMatchObject({ packRestedV: 19.9, fastenerPullsSinceNew: 4 });

    // Back to the first in the next round: the volts are those of its pack after it had come to rest.
    expect(await onBench(bench.handlers)).toMatchObject({
      isSetupInHand: false,
      prefilled: { packRestedV: 20.1, fastener: 'Bolt A', fastenerPullsSinceNew: 5, isCarriedOver: true },
    });
    await takeUp(bench.handlers);
    const third = await pull();
    expect(await preparationOf(third)).toMatchObject({ packRestedV: 20.1, isCarriedOver: true });
  });

  it('is asked for again after the sheet was off the bench, and in a new session', async () => {
    const sheet = await openNewSheet(bench.handlers);
    await takeUp(bench.handlers);
    expect((await onBench(bench.handlers)).isSetupInHand).toBe(true);
    await bench.handlers.openRunSheet({ runSheetId: sheet.id });
    expect((await onBench(bench.handlers)).isSetupInHand).toBe(true);
    await bench.handlers.leaveRunSheet({});
    expect(bench.status().runSheet).toBeNull();
    await bench.handlers.openRunSheet({ runSheetId: sheet.id });
    expect((await onBench(bench.handlers)).isSetupInHand).toBe(false);

    await takeUp(bench.handlers);
    const [transducer] = (await bench.handlers.listTransducers({})).transducers;
    await bench.handlers.updateTransducer({ id: transducer?.id ?? '', capacityNm: 600 });
    expect((await onBench(bench.handlers)).isSetupInHand).toBe(false);
  });

  it('has no volts of a pack that was taken off where there was none', async () => {
    const sheet = await openNewSheet(bench.handlers);
    const { prefilled } = await onBench(bench.handlers);
    const early = { entryId: sheet.entries[0]?.id ?? '', preparation: prefilled, lastPackRestedV: 20 };
    await expect(atOnce(() => bench.handlers.confirmSetup(early))).rejects.toEqual(coded('invalid-request'));
    expect((await onBench(bench.handlers)).isSetupInHand).toBe(false);
  });
});

describe('the order of a run sheet', () => {
  it('can be changed: skipped with a reason, taken back, moved', async () => {
    const sheet = await openNewSheet(bench.handlers, { plan: { ...shortPlan, rounds: 2 } });
    const [a, b, c, d] = sheet.entries.map(({ id }) => id) as [string, string, string, string];
    await bench.handlers.skipEntry({ entryId: a, reason: 'Its socket is missing.' });
    expect((await onBench(bench.handlers)).current?.id).toBe(b);
    expect((await entriesOf(sheet.id))[0]).toMatchObject({
      state: 'skipped',
      skipReason: 'Its socket is missing.',
    });
    await expect(atOnce(() => bench.handlers.skipEntry({ entryId: a, reason: 'Again.' }))).rejects.toEqual(
      coded('invalid-state'),
    );
    await expect(atOnce(() => bench.handlers.moveEntry({ entryId: a, beforeEntryId: null }))).rejects.toEqual(
      coded('invalid-state'),
    );

    await bench.handlers.moveEntry({ entryId: d, beforeEntryId: b });
    expect((await entriesOf(sheet.id)).map(({ id }) => id)).toEqual([a, d, b, c]);
    await bench.handlers.moveEntry({ entryId: b, beforeEntryId: null });
    expect((await entriesOf(sheet.id)).map(({ id }) => id)).toEqual([a, d, c, b]);
    expect((await onBench(bench.handlers)).current?.id).toBe(d);

    await bench.handlers.takeBackSkip({ entryId: a });
    expect((await onBench(bench.handlers)).current).toMatchObject({ id: a, state: 'open', skipReason: null });
    await expect(atOnce(() => bench.handlers.takeBackSkip({ entryId: a }))).rejects.toEqual(
      coded('invalid-state'),
    );
    await takeUp(bench.handlers);
    const trialId = await pull();
    expect((await bench.handlers.getTrial({ trialId })).summary.place).toMatchObject({
      entryId: a,
      index: 0,
    });
    // Done: neither skipped nor moved any more.
    await expect(atOnce(() => bench.handlers.skipEntry({ entryId: a, reason: 'Late.' }))).rejects.toEqual(
      coded('invalid-state'),
    );
  });

  it('ends when the sheet is closed, with a reason where pulls are left', async () => {
    const sheet = await openNewSheet(bench.handlers);
    const close = (reason: string | null) =>
      atOnce(() => bench.handlers.closeRunSheet({ runSheetId: sheet.id, reason }));
    await expect(close(null)).rejects.toThrow('2 of its pulls are open');
    expect(bench.status().runSheet?.id).toBe(sheet.id);
    await close('The rig is needed.');
    expect(bench.status().runSheet).toBeNull();
    expect((await bench.handlers.getRunSheet({ runSheetId: sheet.id })).closedAt).not.toBeNull();
    const [first] = sheet.entries;
    for (const late of [
      () => bench.handlers.openRunSheet({ runSheetId: sheet.id }),
      () => bench.handlers.closeRunSheet({ runSheetId: sheet.id, reason: 'Again.' }),
      () => bench.handlers.skipEntry({ entryId: first?.id ?? '', reason: 'Late.' }),
      () => bench.handlers.takeBackSkip({ entryId: first?.id ?? '' }),
      () => bench.handlers.moveEntry({ entryId: first?.id ?? '', beforeEntryId: null }),
    ]) {
      await expect(atOnce(late)).rejects.toThrow('is closed');
    }
    // A window may set anything; a closed sheet is none.
    await bench.handlers.updateSettings({ runSheetId: sheet.id });
    expect(bench.status().runSheet).toBeNull();
  });
});
