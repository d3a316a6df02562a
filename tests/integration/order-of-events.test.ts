import { afterEach, beforeEach, describe, expect, it } from 'vitest';
import {
  armFedBench,
  confirmFedSense,
  COUNTS_PER_NM,
  FED_CAPACITY_NM,
  FED_RATE_HZ,
  type FedBench,
  startFedBench,
} from '../helpers/bench-with-fed-reader.ts';

let bench: FedBench;

async function countsOf(trialId: string): Promise<Int32Array> {
  return (await bench.handlers.getTrialCounts({ trialId })).counts;
}

describe('a trial under way', () => {
  beforeEach(async () => {
    bench = await startFedBench();
    await confirmFedSense(bench);
  });
  afterEach(() => bench.close());

  it('has the overload that ended it in its record', async () => {
    await armFedBench(bench);
    bench.feed(200, 0.5);
    bench.feed(FED_CAPACITY_NM + 40, 0.02);
    const { trialId, reason } = await bench.untilPhase('interrupted');
    expect(reason).toBe('overload');
    expect(Math.max(...(await countsOf(trialId)))).toBe((FED_CAPACITY_NM + 40) * COUNTS_PER_NM + 1);
  });

  it('has the fault that came with the samples that ended it', async () => {
    await armFedBench(bench);
    bench.feed(200, 0.5);
    const rail = { kind: 'rail', segment: 1, slot: null, count: 20 } as const;
    bench.feedBlock(
      Array.from({ length: 20 }, () => FED_CAPACITY_NM + 40),
      { faults: [rail] },
    );
    const { trialId } = await bench.untilPhase('interrupted');
    const { faults } = await bench.handlers.getTrial({ trialId });
    expect(faults.map(({ kind, count }) => [kind, count])).toEqual([
      ['rail', 20],
      ['overload', FED_CAPACITY_NM + 40],
    ]);
  });

  it('has the faults of its first second, which lie before its onset, and none from before that', async () => {
    await armFedBench(bench);
    const still = Array.from({ length: 20 }, () => 0);
    const badLines = (count: number) => ({ kind: 'badLine', segment: 1, slot: null, count }) as const;
    bench.feedBlock(still, { faults: [badLines(3)] });
    bench.feed(0, 1.2);
    bench.feedBlock(still, { faults: [badLines(4)] });
    bench.feed(0, 0.5);
    bench.feed(200, 3);
    bench.feed(0, 2);
    const { trialId } = await bench.untilPhase('kept');
    const { faults, onsetSlot } = await bench.handlers.getTrial({ trialId });
    expect(faults.map(({ kind, count }) => [kind, count])).toEqual([['badLine', 4]]);
    expect(onsetSlot / FED_RATE_HZ - (faults[0]?.atS ?? 0)).toBeCloseTo(0.5, 1);
  });

  it('has the flag that the amplifier had set long before, and is looked at for it', async () => {
    bench.setFlags(['excitation fails']);
    await armFedBench(bench);
    bench.feed(0, 5);
    bench.feed(200, 3);
    bench.feed(0, 2);
    const { trialId, quality } = await bench.untilPhase('reviewing');
    expect(quality.reasons.map(({ code }) => code)).toEqual(['deviceFlag']);
    expect(quality.reasons[0]?.sentence).toContain('excitation fails');
    const { faults } = await bench.handlers.getTrial({ trialId });
    expect(faults.map(({ kind, atS }) => [kind, atS])).toEqual([['deviceFlag', 0]]);
  });

  it('has beside the flag that was set in its first second the other one that had stood before', async () => {
    bench.setFlags(['excitation fails']);
    await armFedBench(bench);
    bench.setFlags(['excitation fails', 'supply low']);
    const raised = { kind: 'deviceFlag', segment: 1, slot: null, count: 20, detail: 'supply low' } as const;
    bench.feedBlock(
      Array.from({ length: 20 }, () => 0),
      { faults: [raised] },
    );
    bench.feed(200, 3);
    bench.feed(0, 2);
    const { quality } = await bench.untilPhase('reviewing');
    expect(quality.reasons.map(({ code }) => code)).toEqual(['deviceFlag']);
    expect(quality.reasons[0]?.sentence).toMatch(/excitation fails.*supply low/);
    expect(quality.reasons[0]?.sentence).not.toContain('The same happened');
  });

  it('is not begun by a touch that straddles the go, since its times would count from that', async () => {
    await bench.handlers.armTrial({});
    bench.feed(0, 3.42);
    bench.feed(20, 0.08);
    bench.trial('waiting');
    bench.feed(20, 0.06);
    bench.feed(0, 0.1);
    expect(bench.trial('idle').lastProblem).toContain('Torque came before the go');
    bench.feed(0, 1.2);
    await armFedBench(bench);
  });

  it('has the onset of its whole record where it is pulled with the go', async () => {
    await bench.handlers.armTrial({});
    while (bench.status().trial.phase !== 'waiting') bench.feed(0, 0.02);
    bench.feed(200, 3);
    bench.feed(0, 2);
    const { trialId } = await bench.untilPhase('kept');
    const { onsetSlot, figures } = await bench.handlers.getTrial({ trialId });
    expect((figures?.onsetS ?? NaN) * FED_RATE_HZ).toBeCloseTo(onsetSlot, 0);
  });

  it('has the torque that went the wrong way in its record', async () => {
    await armFedBench(bench);
    bench.feed(200, 0.5);
    bench.feed(-100, 0.3);
    const { trialId, reason } = await bench.untilPhase('interrupted');
    expect(reason).toBe('wrongDirection');
    const counts = await countsOf(trialId);
    // The reading is wrong for long before it counts as such: half a window and the hold after the crossing.
    expect(counts.filter((count) => count < 0).length).toBeGreaterThanOrEqual(120);
    expect(counts.at(-1)).toBeLessThan(0);
  });

  it('is given up before its onset also while another program holds the database', async () => {
    await armFedBench(bench);
    const unlock = bench.lockDatabase();
    bench.feed(0, 30.2);
    unlock();
    expect(bench.trial('idle').lastProblem).toContain('No torque within 30 s');
    await armFedBench(bench);
  });

  it('has its faults on the disk at once, also where no sample follows', async () => {
    await armFedBench(bench);
    bench.feed(200, 0.4);
    bench.wait(0.4);
    const stored = (): unknown[] => bench.database.prepare('SELECT kind FROM trial_fault').pluck().all();
    await bench.until('stored faults', () => stored().length > 0);
    expect(stored()).toEqual(['silence']);
  });

  it('counts a load that stays on after the run as one overload', async () => {
    await armFedBench(bench);
    bench.feed(200, 2.2);
    bench.trial('unloading');
    bench.feed(FED_CAPACITY_NM + 40, 0.4);
    expect(bench.status().recentFaults.filter(({ kind }) => kind === 'overload')).toHaveLength(1);
  });

  it('is undecided as before where its samples cannot be read to measure it', async () => {
    await armFedBench(bench);
    bench.feed(200, 0.5);
    await bench.handlers.stopTrial({});
    const { trialId } = await bench.untilPhase('interrupted');
    bench.database.exec('DROP TRIGGER raw_block_is_never_edited; UPDATE raw_block SET crc32 = crc32 + 1');
    expect(() => bench.handlers.keepTrial({ trialId })).toThrow(/are damaged/);
    const { summary, decisions } = await bench.handlers.getTrial({ trialId });
    expect(summary.state).toBe('interrupted');
    expect(decisions.map(({ decision }) => decision)).toEqual(['interrupted']);
  });

  it('is whole where the program stood still over its end, though its time is up before the samples are read', async () => {
    await armFedBench(bench);
    bench.feed(200, 0.5);
    // Beyond the planned second, the one after it, and the two that late samples are waited for.
    bench.stall(200, 4.2);
    bench.feed(0, 2);
    expect((await bench.untilPhase('kept')).figures.quality.reasons).toEqual([]);
  });

  it('shows no trial where its record cannot be begun, says so, and keeps it as interrupted once it can', async () => {
    await armFedBench(bench);
    const unlock = bench.lockDatabase();
    bench.feed(200, 0.3);
    const { lastProblem } = await bench.untilPhase('idle');
    unlock();
    expect(lastProblem).toContain('could not be stored');
    expect(bench.status().storage.state).toBe('failing');
    expect((await bench.handlers.listTrials({ search: '', state: null, offset: 0, limit: 1 })).total).toBe(0);
    bench.feed(0, 1.2);
    await armFedBench(bench);
    bench.feed(200, 0.3);
    bench.trial('run');
    await bench.until('a disk that writes', () => bench.status().storage.state === 'ok');
    bench.feed(200, 3);
    await bench.until('the record that could not be begun', () => {
      bench.feed(0, 0.1);
      return bench.status().interruptedTrialIds.length === 1;
    });
    const { interruptedTrialIds } = bench.status();
    expect(Math.max(...(await countsOf(interruptedTrialIds[0] ?? '')))).toBe(200 * COUNTS_PER_NM + 1);
  });
});

describe('a trial on a rig that holds', () => {
  beforeEach(async () => {
    bench = await startFedBench({ rigUnloading: 'holds' });
    await confirmFedSense(bench);
  });
  afterEach(() => bench.close());

  it('has no zero measured while a small torque is still held', async () => {
    await armFedBench(bench);
    bench.feed(0.04 * FED_CAPACITY_NM, 4);
    bench.trial('unloading');
    bench.feed(0.1, 0.7);
    expect((await bench.untilPhase('kept')).figures.quality.reasons).toEqual([]);
  });
});

describe('the bench', () => {
  beforeEach(async () => {
    bench = await startFedBench();
  });
  afterEach(() => bench.close());

  it('starts no trial while it waits for the guided push, which the trial would be taken for', async () => {
    await confirmFedSense(bench);
    const confirmed = bench.handlers.confirmSense({});
    bench.feed(0, 0.1);
    expect(() => bench.handlers.armTrial({})).toThrow(/push/);
    bench.feed(30, 0.6);
    expect((await confirmed).senseSign).toBe(1);
  });

  it('tells a count that stands at rest only where it flickers at rest by more than one, and under load always', async () => {
    await confirmFedSense(bench);
    const still = { kind: 'stuck', segment: 1, slot: null, count: 1001 } as const;
    const told = () => bench.status().recentFaults.filter(({ kind }) => kind === 'stuck').length;
    const blockOf = (torqueNm: (index: number) => number) =>
      Array.from({ length: 20 }, (_, i) => torqueNm(i));
    const resting = blockOf(() => 0);
    bench.feedBlock(resting, { faults: [still] });
    expect(told()).toBe(0);

    await armFedBench(bench);
    bench.feed(200, 0.5);
    bench.feedBlock(
      blockOf(() => 200),
      { faults: [still] },
    );
    expect(told()).toBe(1);
    bench.feed(200, 1);
    bench.feed(0, 3);
    await bench.untilPhase('kept');

    for (let block = 0; block < 60; block += 1) bench.feedBlock(blockOf((index) => 0.002 * (index % 2)));
    await bench.handlers.takeZero({});
    bench.feedBlock(resting, { faults: [still] });
    expect(told()).toBe(2);
  });

  it('reads neither zero nor counts from what came before the amplifier fell silent', () => {
    bench.feed(0, 1.2);
    bench.wait(1);
    expect(bench.status().amplifier.link).toBe('silent');
    expect(() => bench.handlers.takeZero({})).toThrow(/No line comes/);
    expect(() => bench.handlers.captureCounts({})).toThrow(/No line comes/);
  });

  it('judges onset by the capacity as it was corrected', async () => {
    await confirmFedSense(bench);
    const { transducer } = bench.status();
    if (!transducer) throw new Error('There is no transducer');
    await bench.handlers.updateTransducer({ id: transducer.id, capacityNm: 5000 });
    await bench.handlers.confirmSafety({});
    await bench.handlers.armTrial({});
    await bench.handlers.stopTrial({});
    await bench.handlers.updateTransducer({ id: transducer.id, capacityNm: FED_CAPACITY_NM });
    await bench.handlers.confirmSafety({});
    await armFedBench(bench);
    bench.feed(200, 3);
    bench.feed(0, 1);
    expect((await bench.untilPhase('kept')).figures.onsetLevelNm).toBe(0.01 * FED_CAPACITY_NM);
  });

  it('asks for the direction again where a new calibration turns the sign of the reading', async () => {
    await confirmFedSense(bench);
    await bench.handlers.saveCalibration({
      label: 'Wires swapped',
      input: {
        method: 'direct',
        zeroCounts: 0,
        forward: { torqueNm: 500, counts: -500_000 },
        reverse: { torqueNm: 500, counts: 500_000 },
      },
      enteredUncertaintyPercent: null,
      note: '',
      supersedeReason: 'The wires were swapped.',
    });
    expect(bench.status().obstacles.map(({ code }) => code)).toContain('sense-not-confirmed');
  });

  it('zeroes the simulated bench as soon as a second of it has come whole', async () => {
    await bench.handlers.connectSimulatedBench({});
    bench.feed(0, 0.6);
    bench.feedBlock(
      Array.from({ length: 400 }, () => 0),
      { gaps: [{ offset: 0, length: 399 }] },
    );
    bench.feed(0, 0.4);
    expect(bench.status().zero).toBeNull();
    bench.feed(0, 1);
    expect(bench.status().zero).not.toBeNull();
  });

  it('leaves the name of the invented tool behind with the simulated bench', async () => {
    const toolName = (): string => bench.status().step.toolName;
    const { amplifier, step } = await bench.handlers.getSettings({});
    if (!amplifier) throw new Error('No amplifier was remembered');
    await bench.handlers.updateSettings({ step: { ...step, toolName: 'Tool 1' } });
    await bench.handlers.connectSimulatedBench({});
    expect(toolName()).toMatch(/\(demo\)$/);
    await bench.handlers.connectAmplifier(amplifier);
    expect(toolName()).toBe('Tool 1');
  });

  it('takes no notice of what the reader sends once the program is closing', async () => {
    bench.feed(0, 0.1);
    await bench.services.close();
    expect(() => {
      bench.feedBlock([0], { faults: [{ kind: 'badLine', segment: 1, slot: null, count: 1 }] });
      bench.wait(1);
    }).not.toThrow();
  });
});
