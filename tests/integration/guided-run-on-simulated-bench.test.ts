import { fork } from 'node:child_process';
import { once } from 'node:events';
import { afterEach, beforeEach, describe, expect, it } from 'vitest';
import { simulatedCalibration } from '../../shared-lib/simulation/simulated-transducer.ts';
import { makeDataFolder, startRealServices, type RunningServices } from '../helpers/running-services.ts';
import { demoSetup } from '../helpers/run-setups.ts';

let folder: ReturnType<typeof makeDataFolder>;
let bench: RunningServices;

beforeEach(() => {
  folder = makeDataFolder();
});
afterEach(async () => {
  await bench.close();
  folder.remove();
});

async function start(): Promise<void> {
  bench = await startRealServices(folder.path);
  await bench.handlers.connectSimulatedBench({});
  await bench.until('samples', ({ amplifier: { counters } }) => counters.samples > 500);
}

/** Hangs what is asked for, whenever something else is, until the run is complete. */
async function goOn(): Promise<void> {
  const giveUpAt = Date.now() + 30_000;
  let hungFor: number | null = null;
  for (;;) {
    const { run } = await bench.handlers.getRun({});
    if (run === null || run.state === 'complete') return;
    if (run.nextIndex !== hungFor) {
      hungFor = run.nextIndex;
      await bench.handlers.hangSimulatedWeights({ runId: run.id, level: null });
    }
    if (Date.now() > giveUpAt) {
      throw new Error(
        `Stuck at ${String(hungFor)}: ${JSON.stringify(bench.seen('calibrationProgress').at(-1))}`,
      );
    }
    await new Promise((resolve) => setTimeout(resolve, 20));
  }
}

describe('a guided run on the simulated bench', () => {
  it('has weights hung by the program and is accepted as a calibration that is true of the bench', async () => {
    await start();
    const preview = await bench.handlers.previewRun({ setup: demoSetup(3) });
    expect(preview.readings).toHaveLength(7);
    expect(preview.levelsNm.map((torqueNm) => Math.round(torqueNm * 10) / 10)).toEqual([24.5, 49, 73.6]);
    const setup = demoSetup(3);
    const levels = setup.levels.map((level) =>
      level.map((weight) =>
        weight.name === 'disc 1' ? { ...weight, certificateValidUntil: '2020-01-31' } : weight,
      ),
    );
    const { id: runId } = await bench.handlers.startRun({ setup: { ...setup, levels } });
    expect(() =>
      bench.handlers.acceptRun({
        runId,
        label: 'Weights (demo)',
        note: '',
        overrides: [],
        supersedeReason: 'First of its kind.',
        validUntil: null,
        validForTrials: null,
      }),
    ).toThrow('has to wait until the calibration run is over');
    expect(() => bench.handlers.hangSimulatedWeights({ runId, level: 4 })).toThrow('levels 0 to 3');
    await goOn();
    const result = await bench.handlers.evaluateRun({ runId, overrides: [] });
    const [forward] = result.senses;
    expect(forward?.sense).toBe('forward');
    expect(result.findings).toContainEqual(
      expect.objectContaining({ code: 'certificate-out-of-date', severity: 'look' }),
    );

    const accepted = await bench.handlers.acceptRun({
      runId,
      label: 'Weights (demo)',
      note: '',
      overrides: [],
      supersedeReason: 'First of its kind.',
      validUntil: '2099-12-31',
      validForTrials: 500,
    });
    expect(accepted).toMatchObject({
      method: 'weightsOnArm',
      runId,
      validUntil: '2099-12-31',
      validForTrials: 500,
      reverse: null,
    });
    // Zero drift and hysteresis of the simulated bench stay well under 0.2 %.
    const trueGain = simulatedCalibration.forward.gainNmPerCount;
    expect(Math.abs((accepted.forward?.gainNmPerCount ?? 0) / trueGain - 1)).toBeLessThan(0.002);
    expect(await bench.handlers.getRun({})).toEqual({ run: null });
    expect((await bench.status()).calibration).toMatchObject({ id: accepted.id, validUntil: '2099-12-31' });
    const report = await bench.handlers.getCalibrationReport({ calibrationId: accepted.id });
    expect(report.run).toMatchObject({ id: runId, state: 'accepted' });
    expect(report.result).toMatchObject({ senses: result.senses, findings: result.findings });
    expect(() =>
      bench.handlers.acceptRun({
        runId,
        label: 'Again',
        note: '',
        overrides: [],
        supersedeReason: 'Once more.',
        validUntil: null,
        validForTrials: null,
      }),
    ).toThrow('accepted already');
  });

  it('refuses a run that nothing can come of, and one without an amplifier', async () => {
    bench = await startRealServices(folder.path);
    expect(() => bench.handlers.startRun({ setup: demoSetup(2) })).toThrow('No amplifier is connected');
    expect(() => bench.handlers.confirmHandling({ runId: 'nowhere', index: 0 })).toThrow(
      'no such calibration run',
    );
    await bench.handlers.connectSimulatedBench({});
    await bench.until('samples', ({ amplifier: { counters } }) => counters.samples > 500);
    const light = demoSetup(2);
    const heavy = {
      massKg: 500,
      tolerance: { kind: 'own', uncertaintyKg: { kind: 'limit', limit: 0.025 } },
    } as const;
    const levels = light.levels.map((weights) => weights.map((weight) => ({ ...weight, ...heavy })));
    // 2 x 500 kg on half a metre is some 4900 N m; the simulated transducer bears 1500.
    expect(() => bench.handlers.startRun({ setup: { ...light, levels } })).toThrow(
      /more than the capacity of the transducer.*No run was started/,
    );
    expect(await bench.handlers.getRun({})).toEqual({ run: null });
  });

  it('killed between two readings has lost none of them, and is finished in the next start', async () => {
    const child = fork(new URL('../helpers/killable-run.ts', import.meta.url), [folder.path]);
    const exited = once(child, 'exit');
    let told = 0;
    await new Promise<void>((resolve, reject) => {
      child.on('message', (takenCount) => {
        told = Number(takenCount);
        if (told === 2) resolve();
      });
      void exited.then(([code]) => {
        reject(new Error(`The bench ended by itself with ${String(code)}`));
      });
    });
    child.kill('SIGKILL');
    await exited;

    await start();
    const { run } = await bench.handlers.getRun({});
    expect(run).toMatchObject({ state: 'paused' });
    expect(run?.taken.length).toBeGreaterThanOrEqual(told);
    const { state } = await bench.handlers.resumeRun({ runId: run?.id ?? '' });
    expect(state).toBe('running');
    await goOn();
    const { run: done } = await bench.handlers.getRun({});
    expect(done).toMatchObject({ state: 'complete' });
    expect(done?.taken.every(({ flags }) => flags.length === 0)).toBe(true);
    expect(done?.taken.slice(0, told)).toEqual(run?.taken.slice(0, told));
  });
});
