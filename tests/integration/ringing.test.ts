import { afterEach, describe, expect, it } from 'vitest';
import {
  COUNTS_PER_NM,
  FED_RATE_HZ,
  startFedBench,
  type FedBench,
} from '../helpers/bench-with-fed-reader.ts';
import { makeDataFolder, startRealServices } from '../helpers/running-services.ts';

let cleanUp: () => Promise<void> = () => Promise.resolve();
afterEach(() => cleanUp());

async function fedBench(): Promise<FedBench> {
  const bench = await startFedBench();
  cleanUp = () => bench.close();
  return bench;
}

/** A rig that rings at 40 Hz and falls to 1/e in 0.1 s, struck at `atS`. */
function ring(bench: FedBench, atS: number, durationS: number): void {
  const torqueAt = (t: number): number =>
    t < atS ? 0 : 20 * Math.exp(-(t - atS) / 0.1) * Math.cos(2 * Math.PI * 40 * (t - atS));
  const perBlock = 0.02 * FED_RATE_HZ;
  for (let slot = 0; slot < durationS * FED_RATE_HZ; slot += perBlock) {
    bench.feedBlock(Array.from({ length: perBlock }, (_, i) => torqueAt((slot + i) / FED_RATE_HZ)));
  }
}

describe('the ringing of the rig', () => {
  it('is found from a tap, kept with its counts, and found again as it was told', async () => {
    const bench = await fedBench();
    expect(await bench.handlers.getRinging({})).toEqual({ ringing: null });
    const recorded = bench.handlers.recordRinging({});
    ring(bench, 1, 4);
    const ringing = await recorded;
    expect(ringing.sampleRateHz).toBe(FED_RATE_HZ);
    expect(ringing.frequencyHz).toBeCloseTo(40, 0);
    expect(ringing.decayS).toBeCloseTo(0.1, 2);
    // sigma / sqrt(sigma^2 + wd^2), of a damped oscillation (textbooks).
    expect(ringing.dampingRatio).toBeCloseTo(10 / Math.hypot(10, 2 * Math.PI * 40), 2);
    const tap = ringing.timeS.indexOf(0);
    expect(ringing.torqueNm[tap]).toBeCloseTo(20, 1);
    expect(ringing.timeS[0]).toBeCloseTo(-0.05, 9);
    expect(ringing.torqueNm.slice(0, tap).every((torqueNm) => Math.abs(torqueNm) < 0.01)).toBe(true);
    expect(ringing.sentences.join()).toContain('dynamic error not included');

    expect(await bench.handlers.getRinging({})).toEqual({ ringing });
    const stored = bench.database.prepare('SELECT counts, tap_slot AS tapSlot FROM rig_ringing').get() as {
      counts: Buffer;
      tapSlot: number;
    };
    expect(stored.counts.length).toBe(4 * 3 * FED_RATE_HZ);
    expect(stored.counts.readInt32LE(4 * stored.tapSlot)).toBe(20 * COUNTS_PER_NM);
    for (const change of ['UPDATE rig_ringing SET at = 1', 'DELETE FROM rig_ringing']) {
      expect(() => bench.database.exec(change)).toThrow('only grows');
    }
    // Another transducer on the bench has not been tapped.
    const { id } = await bench.handlers.addTransducer({ name: 'Transducer 2' });
    await bench.handlers.activateTransducer({ transducerId: id });
    expect(await bench.handlers.getRinging({})).toEqual({ ringing: null });
  });

  it('keeps other work away until the tap was seen, and nothing where none comes', async () => {
    const bench = await fedBench();
    const recorded = Promise.resolve(bench.handlers.recordRinging({}));
    const refused = expect(recorded).rejects.toMatchObject({ code: 'no-onset' });
    bench.feed(0, 1);
    expect(() => bench.handlers.takeZero({})).toThrow('until the tap was seen');
    expect(() => bench.handlers.armTrial({})).toThrow();
    bench.feed(0, 14.2);
    await refused;
    expect(await bench.handlers.getRinging({})).toEqual({ ringing: null });
    await bench.handlers.takeZero({});
  });

  it('needs a zero and an amplifier', async () => {
    const bench = await fedBench();
    await bench.handlers.disconnectAmplifier({});
    await expect(async () => bench.handlers.recordRinging({})).rejects.toMatchObject({
      code: 'amplifier-not-connected',
    });
  });

  it('is shown on the simulated bench, which taps itself', async () => {
    const folder = makeDataFolder();
    const bench = await startRealServices(folder.path);
    cleanUp = async () => {
      await bench.close();
      folder.remove();
    };
    await bench.handlers.connectSimulatedBench({});
    await bench.until('a zero', ({ zero }) => zero !== null);
    const ringing = await bench.handlers.recordRinging({});
    // The model of its rig: 160 Hz (shared-lib/simulation/impact-curve.ts).
    expect(ringing.frequencyHz).toBeGreaterThan(150);
    expect(ringing.frequencyHz).toBeLessThan(170);
    expect(await bench.handlers.getRinging({})).toEqual({ ringing });
  });
});
