import { afterEach, beforeEach, describe, expect, it } from 'vitest';
import type { EventName, RequestParams } from '../../shared-lib/api-contract.ts';
import { type FedBench, startFedBench } from '../helpers/bench-with-fed-reader.ts';
import { demoArm, demoSetup, demoSite } from '../helpers/run-setups.ts';

let bench: FedBench;
let told: EventName[];

beforeEach(async () => {
  bench = await startFedBench();
  told = [];
  bench.services.onEvent((name) => told.push(name));
});
afterEach(() => bench.close());

const coded = (code: string): unknown => expect.objectContaining({ code });

describe('a standard that was put right in another window', () => {
  const setup = demoSetup(2);
  const [disc] = setup.levels[0] ?? [];
  if (disc === undefined) throw new Error('Nothing hangs');

  it('is told, and no run is started with it as it was', async () => {
    await bench.handlers.saveStandard({ standard: { kind: 'weight', weight: { ...disc, massKg: 5.02 } } });
    expect(told).toContain('standardsChanged');
    expect(() => bench.handlers.startRun({ setup })).toThrow(coded('invalid-state'));
    expect(() => bench.handlers.startRun({ setup })).toThrow(/^"disc 1" was changed/);
    expect(await bench.handlers.getRun({})).toEqual({ run: null });
    await bench.handlers.saveStandard({ standard: { kind: 'weight', weight: disc } });
    expect(await bench.handlers.startRun({ setup })).toMatchObject({ state: 'running' });
  });

  it('is no matter for a run where it is on no list any more', async () => {
    await bench.handlers.saveStandard({ standard: { kind: 'arm', arm: demoArm } });
    await bench.handlers.removeStandard({ kind: 'arm', id: demoArm.id });
    expect(await bench.handlers.startRun({ setup })).toMatchObject({ state: 'running' });
  });

  it('makes no daily check with it as it was', async () => {
    const gravity = { source: 'entered', gravityMps2: 9.8 } as const;
    await bench.handlers.saveStandard({ standard: { kind: 'site', site: { ...demoSite, gravity } } });
    const check = {
      means: { kind: 'weight', sense: 'forward', weights: [disc], arm: demoArm, site: demoSite },
      zeroCounts: 0,
      readingCounts: 24_525,
      newReferenceReason: null,
    } as const satisfies RequestParams<'recordDailyCheck'>;
    expect(() =>
      bench.handlers.recordDailyCheck({ ...check, means: { ...check.means, weights: [disc] } }),
    ).toThrow(/^"Demo workshop" was changed/);
    expect((await bench.handlers.getDailyChecks({})).checks).toEqual([]);
  });
});

describe('a calibration that was made in another window', () => {
  const byHand = {
    label: 'By hand (demo)',
    input: { method: 'direct', zeroCounts: 0, forward: { torqueNm: 200, counts: 200_000 }, reverse: null },
    enteredUncertaintyPercent: null,
    note: '',
    supersedeReason: 'The older one had drifted.',
  } as const satisfies RequestParams<'saveCalibration'>;

  it('is told, and is not replaced for the reason that was given for the one before', async () => {
    const before = bench.status().calibration?.id ?? null;
    const shown = { ...byHand, supersedesId: before };
    await bench.handlers.saveCalibration(shown);
    expect(told).toContain('calibrationsChanged');
    expect(() => bench.handlers.saveCalibration(shown)).toThrow(coded('bench-moved-on'));
    expect(() => bench.handlers.saveCalibration({ ...byHand, supersedesId: null })).toThrow(
      coded('bench-moved-on'),
    );
    const now = bench.status().calibration?.id ?? null;
    expect(await bench.handlers.saveCalibration({ ...byHand, supersedesId: now })).toMatchObject({
      label: byHand.label,
    });
  });

  it('is not made of counts of another transducer than the one on the bench', async () => {
    const [transducer] = (await bench.handlers.listTransducers({})).transducers;
    expect(() => bench.handlers.saveCalibration({ ...byHand, transducerId: 'another' })).toThrow(
      coded('bench-moved-on'),
    );
    const own = { ...byHand, transducerId: transducer?.id ?? '' };
    expect(await bench.handlers.saveCalibration(own)).toMatchObject({ transducerId: transducer?.id });
  });
});
