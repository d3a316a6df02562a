import { afterEach, beforeEach, describe, expect, it } from 'vitest';
import {
  armFedBench,
  confirmFedSense,
  startFedBench,
  type FedBench,
} from '../helpers/bench-with-fed-reader.ts';

let bench: FedBench;
beforeEach(async () => {
  bench = await startFedBench({ plannedS: 1 });
});
afterEach(async () => {
  await bench.close();
});

describe('the chain of a trial', () => {
  it('is stored with the amplifier it was made with, under the name it had then', async () => {
    const { amplifierId } = bench.status().amplifier;
    if (amplifierId === null) throw new Error('The amplifier was not kept');
    await bench.handlers.updateAmplifier({ amplifierId, name: 'At the window' });
    await confirmFedSense(bench);
    await armFedBench(bench);
    bench.feed(300, 2.5);
    bench.feed(0, 2);
    const { trialId } = await bench.untilPhase('kept');
    await bench.handlers.updateAmplifier({ amplifierId, name: 'At the door' });
    const { conditions } = await bench.handlers.getTrial({ trialId });
    expect(conditions).toMatchObject({ amplifierId, amplifierName: 'At the window' });
  });

  it('does not change while a trial is under way or a guided push is awaited', async () => {
    const { id } = await bench.handlers.addTransducer({ name: 'Small one' });
    const before = bench.status().transducer;
    const confirming = bench.handlers.confirmSense({});
    expect(() => bench.handlers.activateTransducer({ transducerId: id })).toThrow('guided push');
    bench.feed(30, 0.6);
    await confirming;
    bench.feed(0, 1.2);
    await armFedBench(bench);
    expect(() => bench.handlers.activateTransducer({ transducerId: id })).toThrow('trial under way');
    expect(bench.status().transducer?.id).toBe(before?.id);
  });

  it('does not take the weight of a bar for the push that shows which way is clockwise', async () => {
    bench.feed(-10, 1.2);
    await expect((async () => bench.handlers.confirmSense({}))()).rejects.toMatchObject({
      code: 'not-unloaded',
      message: expect.stringContaining('Set the zero with the bar on') as string,
    });
    await bench.handlers.takeZero({});
    const confirming = bench.handlers.confirmSense({});
    bench.feed(-10, 0.6);
    bench.feed(20, 0.6);
    expect((await confirming).senseSign).toBe(1);
  });

  it('keeps its sense where the push is given up, and takes no later touch for it', async () => {
    const { transducer } = bench.status();
    const confirming = bench.handlers.confirmSense({});
    const refused = expect(confirming).rejects.toMatchObject({ code: 'cancelled' });
    await bench.handlers.giveUpSense({});
    await refused;
    bench.feed(-30, 0.6);
    bench.feed(0, 1.2);
    expect(bench.status().transducer).toEqual(transducer);
    await confirmFedSense(bench);
    expect(bench.status().transducer?.senseConfirmedAt).not.toBeNull();
  });

  it('loses its zero and its session with another transducer, and finds the session again with the old one', async () => {
    await confirmFedSense(bench);
    const { session, transducer } = bench.status();
    expect(session?.isSafetyConfirmed).toBe(true);
    const { id } = await bench.handlers.addTransducer({ name: 'Small one' });
    await bench.handlers.activateTransducer({ transducerId: id });
    expect(bench.status()).toMatchObject({ zero: null, session: null, transducer: { name: 'Small one' } });
    expect(bench.status().obstacles.map(({ code }) => code)).toEqual([
      'transducer-incomplete',
      'calibration-missing',
    ]);
    await bench.handlers.activateTransducer({ transducerId: transducer?.id ?? '' });
    expect(bench.status().session).toEqual(session);
    expect(bench.status().zero).toBeNull();
  });

  it('awaits no push of a transducer that another connection has taken away', async () => {
    const confirming = bench.handlers.confirmSense({});
    const refused = expect(confirming).rejects.toMatchObject({ code: 'connection-lost' });
    const { amplifier } = await bench.handlers.getSettings({});
    if (!amplifier) throw new Error('No amplifier was remembered');
    await bench.handlers.connectAmplifier(amplifier);
    await refused;
  });
});
