import { join } from 'node:path';
import { readyMadeProfiles } from '../../shared-lib/amplifier/amplifier-profile.ts';
import { systemClock } from '../../main/platform/clock.ts';
import { armWhenAtRest } from '../../tests/helpers/arm-when-at-rest.ts';
import { findRun } from '../../tests/helpers/find-run.ts';
import { startPtyAmplifier } from '../../tests/helpers/running-pty-amplifier.ts';
import { prepareRealBench } from '../../tests/helpers/real-bench.ts';
import {
  makeDataFolder,
  startRealServices,
  type RunningServices,
} from '../../tests/helpers/running-services.ts';
import type { Figure } from '../measured-figures.ts';

const ROUNDS = 100;
/** Side by side, since a bench mostly waits for its transducer to come to rest. */
const BENCHES = 3;
const RATE_HZ = 1000;
const LONGEST_RECONNECTION_S = 2;

/**
 * F3: the amplifier is unplugged in mid-run and plugged in again.
 *
 * The time counts from plugging in to the first sample that the program has. What was written before is compared with
 * what was stored, one for one. Baseline: how often the program looks for the port.
 */
export async function measureUnpluggings(say: (line: string) => void, rounds = ROUNDS): Promise<Figure> {
  const profile = readyMadeProfiles.find(({ checksum }) => checksum === 'xor');
  if (!profile) throw new Error('There is no ready-made profile with a checksum');
  const reconnectionS: number[] = [];
  let begun = 0;
  let notInterrupted = 0;
  let mostMissingMs = 0;
  const benches = await Promise.all(Array.from({ length: BENCHES }, startBench));
  const unplugInOneBench = async ({ folder, bench }: OpenBench, lane: number): Promise<void> => {
    const amplifier = startPtyAmplifier({
      profile,
      rateHz: RATE_HZ,
      bench: { seed: 303 + lane },
      linkPath: join(folder.path, 'port'),
    });
    try {
      await prepareRealBench(bench, amplifier, { profileId: profile.id, rateHz: RATE_HZ, plannedS: 5 });
      while (begun < rounds) {
        begun += 1;
        await armWhenAtRest(bench.handlers);
        await bench.untilPhase('waiting');
        const runS = 0.3 + Math.random();
        amplifier.simulated?.bench.pull({ direction: 'forward', triggerS: runS, delayS: 0.05 });
        await bench.untilPhase('run');
        await new Promise((resolve) => setTimeout(resolve, runS * 1000));
        const unpluggedUs = systemClock.monotonicUs();
        amplifier.unplug();
        const { trialId } = await bench.untilPhase('interrupted');
        const record = await bench.handlers.getTrial({ trialId });
        if (record.summary.state !== 'interrupted' || record.interruption !== 'disconnect')
          notInterrupted += 1;
        const { counts } = await bench.handlers.getTrialCounts({ trialId });
        const { counts: written, atUs } = amplifier.written;
        const lastStored = findRun(written, counts) + counts.length - 1;
        const lastWritten = atUs.filter((us) => us <= unpluggedUs).length - 1;
        mostMissingMs = Math.max(mostMissingMs, ((atUs[lastWritten] ?? 0) - (atUs[lastStored] ?? 0)) / 1000);

        const before = (await bench.status()).amplifier.counters.samples;
        const pluggedUs = systemClock.monotonicUs();
        amplifier.plugIn();
        await bench.until(
          'samples again',
          ({ amplifier: { link, counters } }) => link === 'connected' && counters.samples > before,
          20_000,
        );
        reconnectionS.push((systemClock.monotonicUs() - pluggedUs) / 1e6);
        await bench.handlers.voidTrial({ trialId, reason: 'Unplugged on purpose.' });
        if (reconnectionS.length % 10 === 0) say(`F3: ${reconnectionS.length} of ${rounds} rounds`);
      }
    } finally {
      amplifier.close();
    }
  };
  try {
    await Promise.all(benches.map(unplugInOneBench));
  } finally {
    for (const { folder, bench } of benches) {
      await bench.close();
      folder.remove();
    }
  }
  const worstS = Math.max(...reconnectionS);
  return {
    value: Math.round(worstS * 100) / 100,
    unit: 's from plugging in to the first sample, worst',
    baseline: 0.5,
    limit: LONGEST_RECONNECTION_S,
    met: worstS <= LONGEST_RECONNECTION_S && notInterrupted === 0,
    note:
      `${rounds} rounds in mid-run, ${BENCHES} benches side by side, over a pseudo-terminal at 1 000 lines/s; ${rounds - notInterrupted} trials kept as interrupted; at most ${mostMissingMs.toFixed(1)} ms of ` +
      `what the port had taken before were not stored. Baseline: the program tries the port every 0.5 s; the test's amplifier begins 0.2 s after it is opened.`,
  };
}

interface OpenBench {
  readonly folder: ReturnType<typeof makeDataFolder>;
  readonly bench: RunningServices;
}

/** Every reader before any pseudo-terminal: a process started later would hold the device's end of it open. */
async function startBench(): Promise<OpenBench> {
  const folder = makeDataFolder();
  const bench = await startRealServices(folder.path);
  await bench.handlers.listPorts({});
  return { folder, bench };
}
