import { join } from 'node:path';
import { afterEach, beforeEach, describe, expect, it } from 'vitest';
import { untilKept } from '../helpers/end-of-trial.ts';
import { startMachineWitness, type MachineWitness } from '../helpers/machine-witness.ts';
import { makeDataFolder, startRealServices, type RunningServices } from '../helpers/running-services.ts';

let folder: ReturnType<typeof makeDataFolder>;
let bench: RunningServices;
let witness: MachineWitness;

const wasHeldUp = (): boolean => witness.longestHoldUpMs() > 50;

beforeEach(async () => {
  folder = makeDataFolder();
  bench = await startRealServices(folder.path);
  witness = await startMachineWitness(join(folder.path, 'witness'));
});
afterEach(async () => {
  await witness.stop();
  await bench.close();
  folder.remove();
});

describe('a trial on the simulated bench', () => {
  it('is kept by itself before its figures show, and is found again after a restart', async () => {
    await bench.handlers.connectSimulatedBench({});
    await bench.handlers.updateSettings({
      step: { toolName: 'Hollin H5 (demo)', kind: 'tighten', direction: 'forward', plannedS: 1 },
    });
    await bench.until('a bench without obstacles', (status) => status.obstacles.length === 0);
    await bench.handlers.armTrial({});
    await bench.untilPhase('run');
    await bench.until('the trial in the list', () => bench.seen('trialsChanged').length > 0);
    const { trials: duringRun } = await bench.handlers.listTrials({
      search: '',
      state: null,
      offset: 0,
      limit: 10,
    });
    // A second window that starts a trial meanwhile changes neither the run nor its zero.
    const before = await bench.status();
    expect(() => bench.handlers.armTrial({})).toThrow('has to wait until the trial under way is over');
    expect(() => bench.handlers.takeZero({})).toThrow('has to wait until the trial under way is over');
    expect((await bench.status()).zero).toEqual(before.zero);
    expect(duringRun.map(({ state, sustainedTorqueNm }) => [state, sustainedTorqueNm])).toEqual([
      ['recording', null],
    ]);

    const trialId = await untilKept(bench, wasHeldUp);
    expect(bench.seen('soundCue').map(({ cue }) => cue)).toEqual([
      'arm',
      'count',
      'count',
      'count',
      'go',
      'stop',
    ]);

    const kept = await bench.untilPhase('kept');
    const record = await bench.handlers.getTrial({ trialId });
    expect(record.summary).toMatchObject({ state: 'kept', isVoided: false, isSimulated: true });
    expect(record.figures).toEqual(kept.figures);
    expect(record.decisions).toMatchObject([{ decision: 'kept', figuresShown: false }]);
    expect(record.lostSlots).toBe(0);
    const counts = await bench.handlers.getTrialCounts({ trialId });

    await bench.close();
    bench = await startRealServices(folder.path);
    expect(await bench.handlers.getTrial({ trialId })).toEqual(record);
    expect((await bench.handlers.getTrialCounts({ trialId })).counts).toEqual(counts.counts);
  });

  it('in reverse reads positive in its own direction', async () => {
    await bench.handlers.connectSimulatedBench({});
    await bench.handlers.updateSettings({
      step: { toolName: 'Brindlow B4 (demo)', kind: 'tighten', direction: 'reverse', plannedS: 1 },
    });
    await bench.until('a bench without obstacles', (status) => status.obstacles.length === 0);
    await bench.handlers.armTrial({});
    const trialId = await untilKept(bench, wasHeldUp);
    const sustained = (await bench.untilPhase('kept')).figures.sustainedTorqueNm;
    expect('value' in sustained && sustained.value).toBeGreaterThan(100);
    const curve = await bench.handlers.getTrialCurve({ trialId, fromS: null, toS: null, bins: 200 });
    expect(Math.min(...curve.minNm)).toBeLessThan(-100);
  });
});
