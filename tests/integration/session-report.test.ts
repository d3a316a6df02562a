import { afterEach, beforeEach, describe, expect, it } from 'vitest';
import {
  armFedBench,
  confirmFedSense,
  type FedBench,
  startFedBench,
} from '../helpers/bench-with-fed-reader.ts';
import {
  atOnce,
  brindlow,
  coded,
  draft,
  hollin,
  hollinSetup,
  openNewSheet,
  pullOnFedBench,
  putInItems,
  shortPlan,
  takeUp,
} from '../helpers/run-sheet-fixture.ts';

let bench: FedBench;

beforeEach(async () => {
  bench = await startFedBench();
  await confirmFedSense(bench);
});
afterEach(() => bench.close());

const session = () => {
  const { session: current } = bench.status();
  if (current === null) throw new Error('There is no session');
  return current;
};
const report = async (sessionId = session().id) => bench.handlers.getSessionReport({ sessionId });
const sessions = async () => bench.handlers.listSessions({ offset: 0, limit: 10 });

/** Half a second, outside of a run sheet. */
async function pullAlone(toolName = 'Hollin H5'): Promise<string> {
  await bench.handlers.updateSettings({
    step: { toolName, kind: 'tighten', direction: 'forward', plannedS: 0.5 },
  });
  return pullOnFedBench(bench);
}

describe('the report of a session', () => {
  it('sums up a run sheet: setups, voids and skips with their reasons, and exposure', async () => {
    await putInItems(bench.handlers);
    const sheet = await openNewSheet(bench.handlers, {
      plan: { ...shortPlan, rounds: 3 },
      order: 'asListed',
    });
    const pulls: string[] = [];
    for (let count = 0; count < 4; count += 1) {
      await takeUp(bench.handlers);
      pulls.push(await pullOnFedBench(bench));
    }
    await bench.handlers.voidTrial({ trialId: pulls[3] ?? '', reason: 'The socket had slipped.' });
    const [, , , , fifth, sixth] = sheet.entries;
    await bench.handlers.skipEntry({ entryId: fifth?.id ?? '', reason: 'The battery was empty.' });
    await bench.handlers.skipEntry({ entryId: sixth?.id ?? '', reason: 'No more time.' });
    await bench.handlers.takeBackSkip({ entryId: sixth?.id ?? '' });

    const found = await report();
    expect(found.summary).toMatchObject({ trialCount: 4, keptCount: 3, voidedCount: 1, interruptedCount: 0 });
    expect(found.qualityGate).toBe('goodAndLook');
    expect(found.safetyConfirmedAt).not.toBeNull();
    expect(found.setups).toMatchObject([
      { setupId: 'setup-hollin', count: 2, voidedCount: 0, isOneBlock: false },
      { setupId: 'setup-brindlow', count: 1, voidedCount: 1 },
    ]);
    expect(found.setups[0]?.label).toBe('Hollin H5 (demo), Pack 1, Socket 24 mm');
    expect(found.setups[0]?.meanNm).toBeCloseTo(200, 1);
    expect(found.voided).toMatchObject([
      {
        trialId: pulls[3],
        label: 'Brindlow B4 (demo), Pack 2, Socket 24 mm',
        reason: 'The socket had slipped.',
        figuresShown: true,
      },
    ]);
    expect(found.skipped).toMatchObject([{ reason: 'The battery was empty.' }]);
    expect(found.skipped[0]?.label).toContain('run 3 of 3');
    // Four zeros, one noise apart at most, and no reference tool.
    expect(found.zeroDrift).toMatchObject({ pointCount: 4, isFlagged: false });
    expect(found.referenceDrift).toBeNull();
    // The void pull was felt all the same. Directive 2002/44/EC: 2 a^2 points an hour.
    const { exposure } = found;
    expect(exposure.tools.map(({ toolName, pullCount }) => [toolName, pullCount])).toEqual([
      [hollin.name, 2],
      [brindlow.name, 2],
    ]);
    expect(exposure.triggerS).toBeCloseTo(2, 1);
    expect(exposure.points).toBeCloseTo((2 * 12 ** 2 * exposure.knownTriggerS) / 3600, 9);
    expect(exposure.knownTriggerS).toBeCloseTo(1, 1);
    expect(session()).toMatchObject({
      keptCount: 3,
      voidedCount: 1,
      triggerS: exposure.triggerS,
      exposurePoints: exposure.points,
    });
  });

  it('follows when a trial is put right, and its gate is the one of the settings', async () => {
    await putInItems(bench.handlers);
    const trialId = await pullAlone();
    expect(session().exposurePoints).toBeNull();
    expect((await report()).exposure).toMatchObject({ points: 0, knownTriggerS: 0 });
    await bench.handlers.relabelTrial({
      trialId,
      toolName: hollin.name,
      setupId: hollinSetup.id,
      reason: 'The tool was named by hand.',
    });
    expect((await report()).setups).toMatchObject([{ setupId: hollinSetup.id, count: 1 }]);
    expect(session().exposurePoints).toBeCloseTo((2 * 12 ** 2 * 0.5) / 3600, 3);
    await bench.handlers.updateSettings({ qualityGate: 'goodOnly' });
    expect((await report()).qualityGate).toBe('goodOnly');
  });

  it('takes the vibration and noise of a pull without a run sheet from the tool that its name stands for', async () => {
    await putInItems(bench.handlers);
    await pullAlone(hollin.name.toUpperCase());
    const pointsOf = (vibrationMps2: number): number => (2 * vibrationMps2 ** 2 * 0.5) / 3600;
    const { exposure } = await report();
    expect(exposure.tools).toMatchObject([{ pullCount: 1, vibrationMps2: 12, noiseDbA: 98 }]);
    expect(exposure.points).toBeCloseTo(pointsOf(12), 3);
    expect(exposure.sentences.join(' ')).not.toContain('declared for');
    expect(session().exposurePoints).toBeCloseTo(pointsOf(12), 3);
    // The Bench follows what is entered, and a tool that was archived is still what was in the hand.
    await bench.handlers.saveTool({ tool: { ...hollin, declaredVibrationMps2: 20, isArchived: true } });
    expect(session().exposurePoints).toBeCloseTo(pointsOf(20), 3);
    expect((await report()).exposure.points).toBeCloseTo(pointsOf(20), 3);
  });

  it('says of a pull without a run sheet what is missing: the value of its tool, or the tool itself', async () => {
    await putInItems(bench.handlers);
    await pullAlone(brindlow.name);
    await pullAlone('Tarnwick T6 (demo)');
    const sentences = async () => (await report()).exposure.sentences.join(' ');
    expect(await sentences()).toMatch(/No vibration is declared for Brindlow B4 \(demo\): .* in Tools\./);
    expect(await sentences()).toMatch(
      /No tool of the list is called Tarnwick T6 \(demo\): .* Add it in Tools with the value/,
    );
    expect(session().exposurePoints).toBeNull();

    await bench.handlers.saveTool({ tool: { ...brindlow, declaredVibrationMps2: 5 } });
    expect(await sentences()).not.toContain('No vibration is declared');
    await bench.handlers.saveTool({ tool: { ...hollin, id: 'tool-tarnwick', name: 'Tarnwick T6 (demo)' } });
    expect(await sentences()).not.toContain('No tool of the list');
    expect(session().exposurePoints).toBeCloseTo((2 * (5 ** 2 + 12 ** 2) * 0.5) / 3600, 3);

    // Found to be one tool: what stays says how it vibrates.
    await bench.handlers.mergeTools({
      fromToolId: 'tool-tarnwick',
      intoToolId: brindlow.id,
      reason: 'One tool.',
    });
    expect(session().exposurePoints).toBeCloseTo((2 * (5 ** 2 + 5 ** 2) * 0.5) / 3600, 3);
  });

  it('takes what a run sheet knew of a tool, and what was entered since where that was nothing', async () => {
    await putInItems(bench.handlers);
    await openNewSheet(bench.handlers);
    for (let pull = 0; pull < 2; pull += 1) {
      await takeUp(bench.handlers);
      await pullOnFedBench(bench);
    }
    await bench.handlers.saveTool({ tool: { ...hollin, declaredVibrationMps2: 20 } });
    await bench.handlers.saveTool({ tool: { ...brindlow, declaredVibrationMps2: 5 } });
    expect((await report()).exposure.tools.map((tool) => [tool.toolName, tool.vibrationMps2])).toEqual([
      [hollin.name, 12],
      [brindlow.name, 5],
    ]);
    expect(session().exposurePoints).toBeCloseTo((2 * (12 ** 2 + 5 ** 2) * 0.5) / 3600, 3);
  });

  it('counts a pull that was cut short with what was recorded of it', async () => {
    // Of a planned second half was recorded.
    await armFedBench(bench);
    bench.feed(200, 0.5);
    await bench.handlers.stopTrial({});
    bench.feed(0, 3);
    await bench.untilPhase('interrupted');
    const { summary, exposure, setups } = await report();
    expect(summary).toMatchObject({ trialCount: 1, keptCount: 0, interruptedCount: 1 });
    expect(exposure.triggerS).toBeGreaterThan(0.4);
    expect(exposure.triggerS).toBeLessThan(0.6);
    expect(session().triggerS).toBe(exposure.triggerS);
    expect(setups).toMatchObject([{ count: 0, meanNm: null }]);
  });

  it('has what was skipped before the first pull of the sitting', async () => {
    await putInItems(bench.handlers);
    await bench.handlers.endSession({});
    const sheet = await openNewSheet(bench.handlers);
    await bench.handlers.skipEntry({ entryId: sheet.entries[0]?.id ?? '', reason: 'Its battery is empty.' });
    await bench.handlers.confirmSafety({});
    expect((await report()).skipped).toMatchObject([{ reason: 'Its battery is empty.' }]);
    const { sessions: listed } = await sessions();
    expect((await report(listed[1]?.id)).skipped).toEqual([]);
  });

  it('needs a session', async () => {
    await expect(report('nobody')).rejects.toEqual(coded('session-not-found'));
  });

  it('shows the drift of a reference tool that gets weaker', async () => {
    await putInItems(bench.handlers);
    await bench.handlers.makeRunSheet({ draft: draft() });
    await openNewSheet(bench.handlers, {
      setupIds: ['setup-brindlow'],
      referenceSetupId: hollinSetup.id,
      plan: { ...shortPlan, reference: { atStart: 2, perRound: 0, atEnd: 2 } },
    });
    const torquesNm = [200, 199, 150, 198, 197];
    for (const torqueNm of torquesNm) {
      const { runSheet } = bench.status();
      if (runSheet?.isSetupInHand === false) await takeUp(bench.handlers);
      await bench.handlers.armTrial({});
      bench.feed(0, 3.6);
      bench.feed(torqueNm, 0.8);
      bench.feed(0, 6);
      await bench.untilPhase('kept');
    }
    const { referenceDrift, setups } = await report();
    expect(setups).toMatchObject([
      { label: expect.stringContaining('reference') as string, count: 4 },
      { count: 1 },
    ]);
    expect(referenceDrift).toMatchObject({ pointCount: 4, isFlagged: true });
    // 3 N m in less than a minute.
    expect(referenceDrift?.perHour).toBeLessThan(-90);
  });
});

describe('what is around a session', () => {
  it('is noted field by field, and stays with it', async () => {
    await bench.handlers.updateSession({ rigNote: 'New bearing in the rig.', ambientC: 21.5 });
    const conditions = await bench.handlers.updateSession({ airPressureHpa: 1013.25 });
    expect(conditions).toEqual({
      rigNote: 'New bearing in the rig.',
      ambientC: 21.5,
      relativeHumidityPercent: null,
      airPressureHpa: 1013.25,
    });
    const { id } = session();
    await bench.handlers.endSession({});
    await bench.handlers.updateSession({ ambientC: 30 });
    expect(session().id).not.toBe(id);
    expect((await report(id)).conditions).toEqual(conditions);
    expect((await report()).conditions).toMatchObject({ rigNote: '', ambientC: 30 });
  });

  it('needs a bench', async () => {
    await bench.handlers.disconnectAmplifier({});
    await expect(atOnce(() => bench.handlers.updateSession({ ambientC: 20 }))).rejects.toEqual(
      coded('amplifier-not-connected'),
    );
  });
});

describe('the end of a session', () => {
  it('makes the next trial begin a new one, with the safety list before it', async () => {
    const first = await pullAlone();
    const { id } = session();
    expect(await bench.handlers.endSession({})).toEqual({ sessionId: id });
    expect(bench.status().session).toBeNull();
    expect(bench.status().obstacles.map(({ remedy }) => remedy)).toContain('safety');
    await bench.handlers.confirmSafety({});
    const second = await pullAlone();

    const sessionOf = async (trialId: string) =>
      (await bench.handlers.getTrial({ trialId })).summary.sessionId;
    expect(await sessionOf(first)).toBe(id);
    expect(await sessionOf(second)).toBe(session().id);
    expect(session()).toMatchObject({ keptCount: 1 });
    const { total, sessions: listed } = await sessions();
    expect(total).toBe(2);
    expect(listed).toMatchObject([
      { id: session().id, endedAt: null, trialCount: 1 },
      { id, endedAt: expect.any(String) as string, trialCount: 1, isSimulated: false },
    ]);
    expect(await bench.handlers.listSessions({ offset: 1, limit: 1 })).toEqual({
      total: 2,
      sessions: [listed[1]],
    });
  });

  it('is refused during a trial, and where none has begun', async () => {
    await armFedBench(bench);
    await expect(atOnce(() => bench.handlers.endSession({}))).rejects.toEqual(coded('invalid-state'));
    await bench.handlers.stopTrial({});
    bench.feed(0, 0.5);
    await bench.handlers.endSession({});
    await expect(atOnce(() => bench.handlers.endSession({}))).rejects.toEqual(coded('session-not-found'));
  });

  it('is for good: nothing of it changes any more', async () => {
    await pullAlone();
    const { id } = session();
    await bench.handlers.endSession({});
    for (const change of ["rig_note = 'other'", 'ended_at = NULL', 'safety_confirmed_at = NULL']) {
      expect(() => bench.database.prepare(`UPDATE session SET ${change} WHERE id = ?`).run(id)).toThrow(
        'has ended',
      );
    }
  });

  it('comes by itself where the capacity changes, since the onset levels rest on it', async () => {
    await pullAlone();
    const { id } = session();
    const { transducer } = bench.status();
    await bench.handlers.updateTransducer({ id: transducer?.id ?? '', capacityNm: 600 });
    expect(bench.status().session).toBeNull();
    expect((await report(id)).summary.endedAt).not.toBeNull();
  });
});
