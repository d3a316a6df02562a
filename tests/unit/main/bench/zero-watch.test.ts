import { describe, expect, it } from 'vitest';
import { createZeroWatch } from '../../../../main/bench/zero-watch.ts';

const block = (slots: number, segment = 1, gaps: { offset: number; length: number }[] = []) => ({
  block: { segment, firstSlot: 0, counts: new Int32Array(slots), gaps, arrivalUs: 0 },
});

function startWatch() {
  const watch = createZeroWatch();
  let outcome: unknown = 'waiting';
  void watch.start({ nominalRateHz: 100, nowUs: 1_000_000 }).then(
    () => (outcome = 'come'),
    (error: unknown) => (outcome = error),
  );
  return {
    watch,
    outcome: async () => {
      await Promise.resolve();
      await Promise.resolve();
      return outcome;
    },
  };
}

describe('waiting for the samples after an amplifier set its zero', () => {
  it('takes the second that follows the half second in which older samples may still come', async () => {
    const { watch, outcome } = startWatch();
    watch.receive(block(149));
    expect([await outcome(), watch.isWatching()]).toEqual(['waiting', true]);
    watch.receive(block(1));
    expect([await outcome(), watch.isWatching()]).toEqual(['come', false]);
  });

  it('begins anew where the stream was broken, which may have been before the zero', async () => {
    const { watch, outcome } = startWatch();
    watch.receive(block(149));
    watch.receive(block(149, 2));
    expect(await outcome()).toBe('waiting');
    watch.receive(block(1, 2));
    expect(await outcome()).toBe('come');
  });

  it('begins anew after a pause in which the amplifier counts on, and counts no lost sample', async () => {
    const { watch, outcome } = startWatch();
    watch.receive(block(80));
    watch.receive(block(100, 1, [{ offset: 0, length: 70 }]));
    watch.receive(block(119));
    expect(await outcome()).toBe('waiting');
    watch.receive(block(10, 1, [{ offset: 0, length: 9 }]));
    expect(await outcome()).toBe('come');
  });

  it('gives up after five seconds, and when the amplifier is lost', async () => {
    const silent = startWatch();
    silent.watch.tick(5_999_999);
    expect(await silent.outcome()).toBe('waiting');
    silent.watch.tick(6_000_000);
    expect(await silent.outcome()).toMatchObject({ code: 'amplifier-silent' });
    const lost = startWatch();
    lost.watch.amplifierLost();
    expect(await lost.outcome()).toMatchObject({ code: 'connection-lost' });
    expect(lost.watch.isWatching()).toBe(false);
  });

  it('minds nothing while nobody waits', () => {
    const watch = createZeroWatch();
    watch.receive(block(1000));
    watch.amplifierLost();
    watch.tick(1e12);
    expect(watch.isWatching()).toBe(false);
  });
});
