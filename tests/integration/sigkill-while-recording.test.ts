import { join } from 'node:path';
import { describe, expect, it } from 'vitest';
import { readyMadeProfiles, type AmplifierProfile } from '../../shared-lib/amplifier/amplifier-profile.ts';
import { killWhileRecording } from '../helpers/kill-while-recording.ts';
import { startMachineWitness } from '../helpers/machine-witness.ts';
import { startPtyAmplifier } from '../helpers/pseudo-terminal.ts';
import { prepareRealBench } from '../helpers/real-bench.ts';
import { makeDataFolder, startRealServices } from '../helpers/running-services.ts';

const RATE_HZ = 1000;
const KILLS = 20;
/** Kills done again because the machine itself stood still. */
const MOST_REPEATS = 5;
/** The design's promise: no more than this is missing after a kill. */
const MOST_MISSING_US = 100_000;

const [, profile] = readyMadeProfiles as [AmplifierProfile, AmplifierProfile];

describe('a program killed while it records', () => {
  it(`leaves a sound database and a trial to decide, at most 100 ms short, ${KILLS} times`, async () => {
    const folder = makeDataFolder();
    const amplifier = startPtyAmplifier({ profile, rateHz: RATE_HZ, bench: { seed: 100 } });
    const witness = await startMachineWitness(join(folder.path, 'witness'));
    const missingUs: number[] = [];
    let repeats = 0;
    try {
      const setUp = await startRealServices(folder.path);
      await prepareRealBench(setUp, amplifier, { profileId: profile.id, rateHz: RATE_HZ, plannedS: 5 });
      await setUp.close();
      const bench = { dataFolder: folder.path, amplifier, profileId: profile.id, rateHz: RATE_HZ };
      while (missingUs.length < KILLS) {
        const kill = await killWhileRecording(bench, witness, 50 + Math.random() * 2500);
        expect(kill.integrity).toBe('ok');
        expect(kill.hasFiguresOnceKept).toBe(true);
        // Samples that the machine held up beside the program are not counted against it; such a kill is done again.
        if (kill.missingUs > MOST_MISSING_US && kill.wasHeldUp && repeats < MOST_REPEATS) repeats += 1;
        else missingUs.push(kill.missingUs);
      }
    } finally {
      await witness.stop();
      amplifier.close();
      folder.remove();
    }
    expect(
      Math.max(...missingUs),
      `missing after each kill, in us: ${missingUs.join(', ')}`,
    ).toBeLessThanOrEqual(MOST_MISSING_US);
  }, 500_000);
});
