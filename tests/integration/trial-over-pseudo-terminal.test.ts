import { afterEach, beforeEach, describe, expect, it } from 'vitest';
import { readyMadeProfiles, type AmplifierProfile } from '../../shared-lib/amplifier/amplifier-profile.ts';
import { findRun } from '../helpers/find-run.ts';
import { startPtyAmplifier, type RunningPtyAmplifier } from '../helpers/pseudo-terminal.ts';
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
    await bench.handlers.armTrial({});
    await bench.untilPhase('waiting');
    running.simulated?.bench.pull({ direction: 'forward', triggerS: 1.5, delayS: 0.3 });
    const ended = await bench.until(
      'the end of the trial',
      ({ trial }) => trial.phase === 'kept' || trial.phase === 'reviewing',
      30_000,
    );
    if (ended.trial.phase !== 'kept') throw new Error(JSON.stringify(ended.trial));

    const { trialId } = ended.trial;
    const { counts, gaps } = await bench.handlers.getTrialCounts({ trialId });
    expect([...gaps]).toEqual([]);
    // Where in the stream the record begins: only one place can hold all of its counts.
    const first = findRun(running.written.counts, counts);
    expect(running.written.counts.slice(first, first + counts.length)).toEqual([...counts]);
    // The writer of a busy machine is late at times, so its own clock says how fast it was; the program counted by the rate
    // of the seconds before, which may have been some percent another one.
    const [beganUs = 0, endedUs = 0] = [first, first + counts.length - 1].map(
      (index) => running.written.atUs[index],
    );
    const writtenRateHz = ((counts.length - 1) * 1e6) / (endedUs - beganUs);
    expect(counts.length / writtenRateHz).toBeGreaterThanOrEqual(2.8);

    const record = await bench.handlers.getTrial({ trialId });
    expect(record.conditions.clockSource).toBe('sequence');
    expect(record.summary.isSimulated).toBe(false);
    expect(Math.abs((record.sampleRateHz ?? 0) / writtenRateHz - 1)).toBeLessThan(0.04);
  });
});
