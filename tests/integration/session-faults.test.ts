import { describe, expect, it } from 'vitest';
import { pausesOver, rateTolerance } from '../helpers/late-writer.ts';
import { serialTarget } from '../helpers/running-session.ts';
import {
  countsSessionProfile,
  fullSessionProfile as profile,
  useSessionsOnPorts,
  SESSION_RATE_HZ,
  pause,
} from '../helpers/sessions-on-ports.ts';

const { start, plugIn } = useSessionsOnPorts();

describe('faults of the connection', () => {
  it('tell silence once when it begins, and its length when lines come again', async () => {
    const { session, until, counts, faults, faultsOf } = await start();
    const amplifier = plugIn();
    await session.connect(serialTarget(amplifier.path, profile));
    await until('samples', () => counts().length > 100);
    amplifier.stop();
    await until('silence', () => session.status().link === 'silent');
    expect(session.standingFaults().map(({ kind }) => kind)).toEqual(['silence']);
    await pause(600);
    amplifier.start();
    await until('lines', () => session.status().link === 'connected');
    const told = faults.filter(({ kind }) => kind === 'silence' || kind === 'silenceEnded');
    expect(told.map(({ kind }) => kind).join()).toMatch(/^(silence,silenceEnded,?)+$/);
    // One, unless the machine made others.
    expect(faultsOf('silence').length).toBeLessThanOrEqual(pausesOver(amplifier, 150).length);
    expect(faultsOf('silence').every(({ count }) => count === 1)).toBe(true);
    expect(Math.max(...faultsOf('silenceEnded').map(({ count }) => count))).toBeGreaterThan(600);
    expect(session.standingFaults()).toEqual([]);
  });

  it('tell a rate off nominal once in a connection, and hold it against whoever begins later', async () => {
    const { session, until, faultsOf } = await start();
    const amplifier = plugIn();
    await session.connect(serialTarget(amplifier.path, { ...profile, nominalRateHz: 1.1 * SESSION_RATE_HZ }));
    expect(session.standingFaults()).toEqual([]);
    await until('the fault', () => faultsOf('rateOffNominal').length > 0);
    // 500 are 9.1 % less than 550.
    const percentOff = faultsOf('rateOffNominal')[0]?.count ?? NaN;
    const tolerancePercent = 100 * rateTolerance(amplifier.written.atUs, SESSION_RATE_HZ);
    expect(Math.abs(percentOff - 9.1)).toBeLessThan(tolerancePercent);
    expect(session.status().rateResidualUs).toBeGreaterThan(0);
    await pause(600);
    expect(faultsOf('rateOffNominal')).toHaveLength(1);
    expect(session.standingFaults()).toMatchObject([{ kind: 'rateOffNominal', slot: null }]);
  });

  it('hold a count that is stuck against whoever begins later, until it moves', async () => {
    const { session, until, faultsOf } = await start();
    let isStuck = false;
    const amplifier = plugIn({ countsAt: (index) => (isStuck ? 1234 : index % 1000) });
    await session.connect(serialTarget(amplifier.path, profile));
    await pause(300);
    isStuck = true;
    await until('the fault', () => faultsOf('stuck').length > 0);
    expect(session.standingFaults().map(({ kind }) => kind)).toEqual(['stuck']);
    isStuck = false;
    await until('its end', () => session.standingFaults().length === 0);
  });

  it('hold a flag that the amplifier set long ago against whoever begins later, until it clears it', async () => {
    const { session, until, faultsOf, counts } = await start();
    const bits = [{ bit: 2, meaning: 'excitation fails', isFault: true }];
    const flagged = { ...profile, statusFlags: { field: 3, numeral: 'hex' as const, bits } };
    let flags = 4;
    const amplifier = plugIn({ profile: flagged, flagsAt: () => flags });
    await session.connect(serialTarget(amplifier.path, flagged));
    await until('samples', () => counts().length > SESSION_RATE_HZ);
    expect(faultsOf('deviceFlag')).toHaveLength(1);
    expect(session.standingFaults()).toMatchObject([{ kind: 'deviceFlag', slot: null }]);
    expect(session.standingFaults()[0]?.sentence).toContain('excitation fails');
    flags = 0;
    await until('its end', () => session.standingFaults().length === 0);
  });

  it('tell that the computer slept, by a wall clock that went on alone, and join nothing across it', async () => {
    const { session, until, counts, faultsOf, blocks, shiftWallClock } = await start();
    const amplifier = plugIn({ profile: countsSessionProfile });
    await session.connect(serialTarget(amplifier.path, countsSessionProfile));
    await until('samples', () => counts().length > 100);
    shiftWallClock(60_000);
    await until('the fault', () => faultsOf('computerSlept').length > 0);
    expect(faultsOf('computerSlept')[0]?.count).toBe(60);
    const segment = faultsOf('computerSlept')[0]?.segment ?? 0;
    await until('a new segment', () => (blocks.at(-1)?.segment ?? 0) > segment);
    expect(session.status().link).toBe('connected');
  });

  it('take a wall clock that was set back by hours for nothing', async () => {
    const { session, until, counts, faultsOf, shiftWallClock } = await start();
    const amplifier = plugIn();
    await session.connect(serialTarget(amplifier.path, profile));
    await until('samples', () => counts().length > 50);
    shiftWallClock(-2 * 3600_000);
    const soFar = counts().length;
    await until('more samples', () => counts().length > soFar + 200);
    expect(faultsOf('computerSlept')).toEqual([]);
  });

  it('tell that everything stood still, by a late tick of a reader that read nothing meanwhile', async () => {
    const { session, until, counts, faultsOf, stall } = await start();
    // Its lines come from this process, so that holding it up stops the amplifier too.
    const amplifier = plugIn();
    await session.connect(serialTarget(amplifier.path, profile));
    await until('samples', () => counts().length > 50);
    stall(5600);
    await until('the fault', () => faultsOf('computerSlept').length > 0);
    expect(faultsOf('computerSlept')[0]?.count).toBe(6);
  });

  it('take a program that was held up for nothing as long as its reader went on reading', async () => {
    const { session, until, counts, faultsOf, stall } = await start();
    // Its lines come from the reader process, which nothing holds up.
    await session.connect({
      source: { kind: 'simulated', options: { seed: 5, sampleRateHz: SESSION_RATE_HZ } },
      profile,
      amplifier: null,
    });
    await until('samples', () => counts().length > 50);
    const before = counts().length;
    stall(5600);
    await until('what was read meanwhile', () => counts().length > before + 5 * SESSION_RATE_HZ);
    const soFar = counts().length;
    await until('more samples', () => counts().length > soFar + 200);
    expect(faultsOf('computerSlept')).toEqual([]);
  });
});

describe('a reader that dies', () => {
  it('is started again at once, and reading goes on in a new segment', async () => {
    const { session, until, counts, readers, faultsOf, losses } = await start();
    const amplifier = plugIn();
    await session.connect(serialTarget(amplifier.path, profile));
    await until('samples', () => counts().length > 50);
    readers.at(-1)?.kill();
    await until('the death', () => faultsOf('readerLost').length > 0);
    expect(losses).toEqual(['readerLost']);
    const soFar = counts().length;
    await until('samples again', () => counts().length > soFar + 50);
    expect(readers).toHaveLength(2);
  });

  it('again and again is left alone for five seconds, and that is said', async () => {
    const { session, until, readers } = await start();
    const amplifier = plugIn();
    await session.connect(serialTarget(amplifier.path, profile));
    for (let death = 1; death <= 6; death += 1) {
      const dying = readers.length;
      readers.at(-1)?.kill();
      if (death < 6) await until('the next reader', () => readers.length > dying);
    }
    await until('the sentence', () => session.status().problem?.sentence.includes('6 times') === true);
    const present = readers.length;
    await pause(1500);
    expect(readers).toHaveLength(present);
    await until('another try', () => session.status().link === 'connected', 10_000);
  });
});
