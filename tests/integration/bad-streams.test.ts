import { join } from 'node:path';
import { afterAll, afterEach, beforeAll, describe, expect, it } from 'vitest';
import { readyMadeProfiles, type AmplifierProfile } from '../../shared-lib/amplifier/amplifier-profile.ts';
import { checkProfile } from '../../shared-lib/amplifier/check-profile.ts';
import { AppError } from '../../shared-lib/app-error.ts';
import { presentCounts } from '../../shared-lib/signal/trim-block.ts';
import type { FaultKind, TrialRecord } from '../../shared-lib/trial/trial-model.ts';
import { armWhenAtRest } from '../helpers/arm-when-at-rest.ts';
import { findRun } from '../helpers/find-run.ts';
import { leastSamples } from '../helpers/late-writer.ts';
import {
  startPtyAmplifier,
  untilMoreLines,
  type PtyAmplifierSetup,
  type RunningPtyAmplifier,
} from '../helpers/running-pty-amplifier.ts';
import { prepareRealBench } from '../helpers/real-bench.ts';
import { makeDataFolder, startRealServices, type RunningServices } from '../helpers/running-services.ts';

const RATE_HZ = 1000;
const [, , checked] = readyMadeProfiles as [AmplifierProfile, AmplifierProfile, AmplifierProfile];

/** Sequence number, device time, counts, status flags and checksum: lines that can show whatever goes wrong. */
const full: AmplifierProfile = {
  ...checked,
  id: 'all-of-it',
  name: 'all of it',
  example: '',
  statusFlags: {
    field: 3,
    numeral: 'hex',
    bits: [{ bit: 2, meaning: 'excitation fails', isFault: true }],
  },
  nominalRateHz: RATE_HZ,
  baudRate: 921_600,
};
/** Placed by the amplifier's own clock, for want of a number. */
const timed: AmplifierProfile = {
  ...checked,
  id: 'timed',
  name: 'timed',
  example: '',
  sequence: null,
  nominalRateHz: RATE_HZ,
  baudRate: 921_600,
};

let folder: ReturnType<typeof makeDataFolder>;
let bench: RunningServices;
let amplifier: RunningPtyAmplifier;

/** On the same port each time, so that the calibration stays that of this amplifier. */
function plugIn(setup: Omit<PtyAmplifierSetup, 'rateHz' | 'linkPath'>): RunningPtyAmplifier {
  amplifier = startPtyAmplifier({ ...setup, rateHz: RATE_HZ, linkPath: join(folder.path, 'port') });
  return amplifier;
}

async function plugInAnother(setup: Omit<PtyAmplifierSetup, 'rateHz' | 'linkPath'>): Promise<void> {
  await bench.handlers.disconnectAmplifier({});
  amplifier.close();
  const { path } = plugIn(setup);
  await bench.handlers.connectAmplifier({
    path,
    profileId: setup.profile.id,
    baudRate: 921_600,
    nominalRateHz: RATE_HZ,
    converterBits: 24,
  });
}

beforeAll(async () => {
  folder = makeDataFolder();
  bench = await startRealServices(folder.path);
  // Starts the reader before the pseudo-terminal is there, which it would inherit.
  await bench.handlers.listPorts({});
  await bench.handlers.saveProfile({ profile: full });
  await bench.handlers.saveProfile({ profile: timed });
  plugIn({ profile: full, bench: { seed: 31, lineEndings: 'mixed' } });
  await prepareRealBench(bench, amplifier, { profileId: full.id, rateHz: RATE_HZ, plannedS: 1.5 });
});
afterAll(async () => {
  await bench.close();
  amplifier.close();
  folder.remove();
});
afterEach(async () => {
  const { trial } = await bench.status();
  if (trial.phase === 'reviewing' || trial.phase === 'interrupted') {
    await bench.handlers.keepTrial({ trialId: trial.trialId });
  }
});

/** Arms as soon as the transducer is at rest, pulls, and returns when the run is on. */
async function startRun(): Promise<void> {
  await armWhenAtRest(bench.handlers);
  await bench.untilPhase('waiting');
  const { plannedS } = (await bench.status()).step;
  amplifier.simulated?.bench.pull({ direction: 'forward', triggerS: plannedS + 0.4, delayS: 0.1 });
  await bench.untilPhase('run');
}

interface EndedTrial {
  readonly record: TrialRecord;
  /** Without the slots that are empty. */
  readonly counts: Int32Array;
  /** Slots with a sample or without. */
  readonly slotCount: number;
  /** Of the first of `counts` in what was written; fails where they do not stand there one for one. */
  readonly firstWritten: number;
}

async function endOfRun(): Promise<EndedTrial> {
  const { trial } = await bench.until(
    'the end of the trial',
    ({ trial: { phase } }) => phase === 'kept' || phase === 'reviewing' || phase === 'interrupted',
    20_000,
  );
  if (!('trialId' in trial)) throw new Error(JSON.stringify(trial));
  const { trialId } = trial;
  const stored = await bench.handlers.getTrialCounts({ trialId });
  const gaps = Array.from({ length: stored.gaps.length / 2 }, (_, pair) => ({
    offset: stored.gaps[2 * pair] ?? 0,
    length: stored.gaps[2 * pair + 1] ?? 0,
  }));
  const counts = presentCounts({ counts: stored.counts, gaps });
  return {
    record: await bench.handlers.getTrial({ trialId }),
    counts,
    slotCount: stored.counts.length,
    firstWritten: findRun(amplifier.written.counts, counts),
  };
}

function sentencesOf({ faults }: TrialRecord, wanted: FaultKind): string[] {
  return faults.filter(({ kind }) => kind === wanted).map(({ sentence }) => sentence);
}

/** Of all its events. */
function countOf({ faults }: TrialRecord, wanted: FaultKind): number {
  return faults.filter(({ kind }) => kind === wanted).reduce((sum, { count }) => sum + count, 0);
}

function misbehave(...what: Parameters<NonNullable<RunningPtyAmplifier['simulated']>['misbehave']>): void {
  amplifier.simulated?.misbehave(...what);
}

/** What is wrong with the lines themselves; a machine that is held up can make others. */
const faultsOfLines: readonly FaultKind[] = [
  'badLine',
  'badChecksum',
  'sequenceGap',
  'segmentBreak',
  'duplicateLine',
  'beyondRails',
  'deviceFlag',
  'stuck',
  'rail',
];

describe('a stream that is not as it should be', () => {
  it('is read whole through mixed line endings, and where a sequence number decides, through a device clock that jumps', async () => {
    await startRun();
    misbehave({ kind: 'clockJump', byMs: 90_000 });
    await untilMoreLines(amplifier, 0.3 * RATE_HZ);
    misbehave({ kind: 'clockJump', byMs: -45_000 });
    const { record, counts } = await endOfRun();
    expect(record).toMatchObject({ interruption: null, lostSlots: 0 });
    expect(record.faults.filter(({ kind }) => faultsOfLines.includes(kind))).toEqual([]);
    expect(counts.length).toBeGreaterThan(leastSamples(amplifier.written.atUs, RATE_HZ, 3.5));
    const { counters } = (await bench.status()).amplifier;
    expect(counters).toMatchObject({ badLines: 0, lostSamples: 0, duplicateLines: 0 });
  });

  it('keeps the place of a number beyond the rails empty, leaves out what came twice, and tells what the amplifier reports', async () => {
    await startRun();
    misbehave({ kind: 'beyondRails', count: 3 });
    misbehave({ kind: 'duplicate', count: 7 });
    misbehave({ kind: 'flag', bit: 2, count: 50 });
    const { record, counts, slotCount } = await endOfRun();
    expect(record).toMatchObject({ interruption: null, lostSlots: 3 });
    expect(slotCount - counts.length).toBe(3);

    expect(countOf(record, 'beyondRails')).toBe(3);
    for (const sentence of sentencesOf(record, 'beyondRails')) {
      expect(sentence).toMatch(
        /^(1 number lies|\d numbers lie) beyond what the converter can give \(8388608\); the place of .* is kept empty\./,
      );
    }
    // Of a line that is beyond the rails and comes twice, the second is a repetition too.
    expect(countOf(record, 'duplicateLine')).toBe(7);
    expect(sentencesOf(record, 'duplicateLine')[0]).toContain('came twice with the same number');
    expect(sentencesOf(record, 'deviceFlag')).toEqual([
      'The amplifier reports: excitation fails. Samples from then on are kept, but check the amplifier before you trust them.',
    ]);
    expect(record.faults.map(({ kind }) => kind)).not.toContain('sequenceGap');
  });

  it.each([
    ['an amplifier that resets', { kind: 'reset' }],
    ['a sequence that runs backwards', { kind: 'backwards', by: 500 }],
  ] as const)('ends a run at %s, with every sample before it and none after', async (_name, what) => {
    await startRun();
    await untilMoreLines(amplifier, 0.5 * RATE_HZ);
    misbehave(what);
    const { record, counts, firstWritten } = await endOfRun();
    expect(record.interruption).toBe('segmentBreak');
    expect(record.decisions[0]?.reason).toMatch(
      /^The amplifier started anew at \d\.\d\d s\. \d+ samples kept\./,
    );
    expect(record.decisions[0]?.reason).toContain(` ${counts.length} samples kept.`);
    const last = firstWritten + counts.length - 1;
    const [before = NaN, after = NaN] = amplifier.written.sequence.slice(last, last + 2);
    expect(after).toBeLessThan(before);
    expect(sentencesOf(record, 'segmentBreak')).toEqual([
      `The samples before and after cannot be joined: the sequence number went from ${before} to ${after}. The time in between is not known, and a run across it ends there.`,
    ]);
    const [{ atS } = { atS: null }] = record.faults.filter(({ kind }) => kind === 'segmentBreak');
    expect(atS).toBeGreaterThan(1);
  });

  it('ends a run at a jump of the device clock where nothing else places the samples', async () => {
    await plugInAnother({ profile: timed, bench: { seed: 31 } });
    await startRun();
    await untilMoreLines(amplifier, 0.5 * RATE_HZ);
    const jumpAt = amplifier.simulated?.bench.sampleCount ?? NaN;
    misbehave({ kind: 'clockJump', byMs: 90_000 });
    const { record, counts, firstWritten } = await endOfRun();
    expect(record.conditions.clockSource).toBe('deviceTime');
    expect(record).toMatchObject({ interruption: 'segmentBreak', lostSlots: 0 });
    expect(sentencesOf(record, 'segmentBreak')).toEqual([
      expect.stringMatching(/cannot be joined: the device time went from \d+ to \d+\./),
    ]);
    expect(amplifier.written.sequence[firstWritten + counts.length]).toBe(jumpAt);
  });

  it('says that the rate is not as set where the sender changes it in mid-run, and keeps every sample in its place', async () => {
    const stepAtS = 9;
    await plugInAnother({
      profile: full,
      bench: { seed: 31 },
      clock: { rateSteps: [{ atS: stepAtS, factor: 0.85 }] },
    });
    const { step } = await bench.handlers.updateSettings({
      step: { ...(await bench.status()).step, plannedS: 6 },
    });
    expect(step.plannedS).toBe(6);
    const elapsedS = (): number => amplifier.simulated?.bench.elapsedS ?? 0;
    // The count takes 3.5 s, so that there is time to spare.
    await startRun();
    expect(elapsedS(), 'the run begins before the step').toBeLessThan(stepAtS);
    const { record, counts, slotCount } = await endOfRun();
    expect(record).toMatchObject({ interruption: null, lostSlots: 0 });
    expect(slotCount).toBe(counts.length);
    const beforeStep = amplifier.written.atUs.slice(0, stepAtS * RATE_HZ);
    expect(counts.length).toBeGreaterThan(leastSamples(beforeStep, RATE_HZ, 8));
    expect(record.faults.map(({ kind }) => kind)).not.toContain('sequenceGap');
    expect(sentencesOf(record, 'rateOffNominal')[0]).toMatch(
      /^The sample rate is \d+ % off the rate in Setup\. Times use the measured rate/,
    );
  });
});

describe('a profile', () => {
  it('that cannot read its amplifier is not kept, and every reason is told', async () => {
    const impossible: AmplifierProfile = {
      ...full,
      id: 'impossible',
      name: 'impossible',
      sequence: { field: 2, modulus: 256, numeral: 'decimal' },
      countsForm: { numeral: 'hex', bits: 16 },
    };
    const refusal: unknown = await Promise.resolve()
      .then(() => bench.handlers.saveProfile({ profile: impossible }))
      .then(
        () => null,
        (reason: unknown) => reason,
      );
    if (!(refusal instanceof AppError)) throw new Error(`It was not refused: ${String(refusal)}`);
    expect(refusal.code).toBe('profile-invalid');
    expect(refusal.message).toContain('The 3rd field can hold only one number');
    expect(refusal.message).toContain('the modulus must be at least 1000');
    expect(refusal.message).toContain('cannot hold a converter of 24 bits');
    expect((await bench.handlers.listProfiles({})).ownProfileIds).not.toContain('impossible');
  });

  it('whose port is too slow for its rate is kept, with a caution: many USB ports ignore the baud rate', async () => {
    const slow: AmplifierProfile = { ...full, id: 'slow', name: 'slow', baudRate: 9600 };
    await bench.handlers.saveProfile({ profile: slow });
    expect((await bench.handlers.listProfiles({})).ownProfileIds).toContain('slow');
    const [finding, ...others] = checkProfile(slow);
    expect(others).toEqual([]);
    expect(finding).toMatchObject({ severity: 'caution', code: 'port-too-slow' });
    expect(finding?.sentence).toMatch(/^At 9600 baud the port carries at most \d+ lines a second/);
  });
});
