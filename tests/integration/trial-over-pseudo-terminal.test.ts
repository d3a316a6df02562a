import { afterEach, beforeEach, describe, expect, it } from 'vitest';
import { readyMadeProfiles, type AmplifierProfile } from '../../shared-lib/amplifier/amplifier-profile.ts';
import { armWhenAtRest } from '../helpers/arm-when-at-rest.ts';
import { untilKeptFrom } from '../helpers/end-of-trial.ts';
import { findRun } from '../helpers/find-run.ts';
import { leastSamples, rateTolerance } from '../helpers/late-writer.ts';
import { startPtyAmplifier, type RunningPtyAmplifier } from '../helpers/running-pty-amplifier.ts';
import { makeDataFolder, startRealServices, type RunningServices } from '../helpers/running-services.ts';
import { prepareRealBench } from '../helpers/real-bench.ts';

const [, sequenceCounts, checked] = readyMadeProfiles as [
  AmplifierProfile,
  AmplifierProfile,
  AmplifierProfile,
];

let folder: ReturnType<typeof makeDataFolder>;
let bench: RunningServices;
let amplifier: RunningPtyAmplifier | null = null;

beforeEach(async () => {
  folder = makeDataFolder();
  bench = await startRealServices(folder.path);
});
afterEach(async () => {
  amplifier?.close();
  amplifier = null;
  await bench.close();
  folder.remove();
});

/** A bench whose simulated load is pulled by hand from the test. */
function startAmplifier(profile: AmplifierProfile, rateHz: number): RunningPtyAmplifier {
  amplifier = startPtyAmplifier({
    profile: { ...profile, nominalRateHz: rateHz },
    rateHz,
    bench: { seed: 7 },
  });
  return amplifier;
}

describe('a trial over a real serial device', () => {
  it.each([
    ['sequence, counts', 80, sequenceCounts],
    ['sequence, time, counts, checksum', 1000, checked],
    ['sequence, counts', 10_000, sequenceCounts],
  ])('stores what was written, count for count: %s, at %i lines/s', async (_name, rateHz, profile) => {
    const running = startAmplifier(profile, rateHz);
    await prepareRealBench(bench, running, { profileId: profile.id, rateHz, plannedS: 1 });
    await armWhenAtRest(bench.handlers);
    await bench.untilPhase('waiting');
    running.simulated?.bench.pull({ direction: 'forward', triggerS: 1.5, delayS: 0.3 });
    const trialId = await untilKeptFrom(running, bench);
    const { counts, gaps } = await bench.handlers.getTrialCounts({ trialId });
    expect([...gaps]).toEqual([]);
    // Where in the stream the record begins: only one place can hold all of its counts.
    const first = findRun(running.written.counts, counts);
    expect(running.written.counts.slice(first, first + counts.length)).toEqual([...counts]);
    const writtenAtUs = running.written.atUs.slice(0, first + counts.length);
    // A second before onset, one of the run and one of the tail.
    expect(counts.length).toBeGreaterThanOrEqual(leastSamples(writtenAtUs, rateHz, 3));

    const record = await bench.handlers.getTrial({ trialId });
    expect(record.conditions.clockSource).toBe('sequence');
    expect(record.summary.isSimulated).toBe(false);
    expect(Math.abs((record.sampleRateHz ?? NaN) / rateHz - 1)).toBeLessThan(
      rateTolerance(writtenAtUs, rateHz),
    );
  });
});
