import { writeFileSync } from 'node:fs';
import { join } from 'node:path';
import { fileURLToPath } from 'node:url';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { readyMadeProfiles, type AmplifierProfile } from '../../shared-lib/amplifier/amplifier-profile.ts';
import { armWhenAtRest } from '../helpers/arm-when-at-rest.ts';
import { untilKeptFrom } from '../helpers/end-of-trial.ts';
import { findRun } from '../helpers/find-run.ts';
import { startPtyAmplifier, type RunningPtyAmplifier } from '../helpers/running-pty-amplifier.ts';
import { prepareRealBench } from '../helpers/real-bench.ts';
import { makeDataFolder, startRealServices, type RunningServices } from '../helpers/running-services.ts';

const RATE_HZ = 1000;
const [, , profile] = readyMadeProfiles as [AmplifierProfile, AmplifierProfile, AmplifierProfile];

let folder: ReturnType<typeof makeDataFolder>;
let bench: RunningServices;
let amplifier: RunningPtyAmplifier;
const listOnly = (path: string): void => {
  writeFileSync(
    join(folder.path, 'ports.json'),
    JSON.stringify([{ path, manufacturer: null, serialNumber: 'A-17', vendorId: '1a2b', productId: '0001' }]),
  );
};

/** Each time at a path that was never there before; it counts from 0 then, as an amplifier does that lost its supply. */
function plugIn(): void {
  amplifier = startPtyAmplifier({ profile, rateHz: RATE_HZ, bench: { seed: 11 } });
}

beforeAll(async () => {
  folder = makeDataFolder();
  process.env['PROOFARM_TEST_NAMED_PORTS'] = join(folder.path, 'ports.json');
  listOnly('/dev/null');
  const entry = fileURLToPath(new URL('../helpers/reader-with-named-ports.ts', import.meta.url));
  bench = await startRealServices(folder.path, entry);
  await bench.handlers.listPorts({});
  plugIn();
  listOnly(amplifier.path);
  await prepareRealBench(bench, amplifier, { profileId: profile.id, rateHz: RATE_HZ, plannedS: 1 });
});
afterAll(async () => {
  amplifier.close();
  await bench.close();
  folder.remove();
  delete process.env['PROOFARM_TEST_NAMED_PORTS'];
});

describe('an amplifier that comes back on another port', () => {
  it('is the same amplifier with the same transducer, calibration and zero, and the next trial runs on it', async () => {
    const before = await bench.status();
    const oldPath = amplifier.path;
    amplifier.close();
    await bench.until('the loss', (status) => status.amplifier.link === 'reconnecting');
    plugIn();
    expect(amplifier.path).not.toBe(oldPath);
    listOnly(amplifier.path);
    const after = await bench.until('reconnection', (status) => status.amplifier.link === 'connected');
    expect(after.amplifier).toMatchObject({
      portPath: amplifier.path,
      amplifierId: before.amplifier.amplifierId,
      amplifierName: before.amplifier.amplifierName,
    });
    expect(after.amplifier.amplifierId).not.toBeNull();
    expect(after.transducer).toEqual(before.transducer);
    expect(after.calibration).toEqual(before.calibration);
    expect(after.zero).toEqual(before.zero);
    const { amplifiers } = await bench.handlers.listAmplifiers({});
    expect(amplifiers).toMatchObject([{ settings: { path: amplifier.path }, usb: { serialNumber: 'A-17' } }]);

    await bench.until('a bench without obstacles', ({ obstacles }) => obstacles.length === 0);
    await armWhenAtRest(bench.handlers);
    await bench.untilPhase('waiting');
    amplifier.simulated?.bench.pull({ direction: 'forward', triggerS: 1.4, delayS: 0.1 });
    const trialId = await untilKeptFrom(amplifier, bench);
    findRun(amplifier.written.counts, (await bench.handlers.getTrialCounts({ trialId })).counts);
  });
});
