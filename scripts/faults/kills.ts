import { join } from 'node:path';
import { readyMadeProfiles } from '../../shared-lib/amplifier/amplifier-profile.ts';
import { killWhileRecording, type KillFinding } from '../../tests/helpers/kill-while-recording.ts';
import { startMachineWitness } from '../../tests/helpers/machine-witness.ts';
import { startPtyAmplifier } from '../../tests/helpers/running-pty-amplifier.ts';
import { prepareRealBench } from '../../tests/helpers/real-bench.ts';
import { makeDataFolder, startRealServices } from '../../tests/helpers/running-services.ts';
import type { Figure } from '../measured-figures.ts';

const KILLS = 100;
/** Side by side, since a bench mostly waits for its transducer to come to rest. */
const BENCHES = 3;
const RATE_HZ = 1000;
const MOST_REPEATS = 10;
const MOST_MISSING_MS = 100;

/**
 * F1: SIGKILL at random instants of a recording. Every kill counts, also where the machine itself was held up: the longest
 * hold-up that a bare process beside it saw is the baseline.
 */
export async function measureKills(say: (line: string) => void, kills = KILLS): Promise<Figure> {
  const profile = readyMadeProfiles.find(({ id }) => id === 'sequence-counts');
  if (!profile) throw new Error('There is no ready-made profile with a sequence number');
  const folder = makeDataFolder();
  const witness = await startMachineWitness(join(folder.path, 'witness'));
  const findings: KillFinding[] = [];
  let begun = 0;
  let repeats = 0;
  const killInOneBench = async (_: unknown, lane: number): Promise<void> => {
    const own = makeDataFolder();
    const amplifier = startPtyAmplifier({ profile, rateHz: RATE_HZ, bench: { seed: 100 + lane } });
    try {
      const setUp = await startRealServices(own.path);
      await prepareRealBench(setUp, amplifier, { profileId: profile.id, rateHz: RATE_HZ, plannedS: 5 });
      await setUp.close();
      const bench = { dataFolder: own.path, amplifier, profileId: profile.id, rateHz: RATE_HZ };
      while (begun < kills) {
        begun += 1;
        const finding = await killWhileRecording(bench, witness, 50 + Math.random() * 2500);
        if (Number.isFinite(finding.missingUs)) findings.push(finding);
        else {
          begun -= 1;
          repeats += 1;
          if (repeats > MOST_REPEATS)
            throw new Error('The machine stands still too often for this measurement');
        }
        if (findings.length % 10 === 0) say(`F1: ${findings.length} of ${kills} kills`);
      }
    } finally {
      amplifier.close();
      own.remove();
    }
  };
  try {
    await Promise.all(Array.from({ length: BENCHES }, killInOneBench));
  } finally {
    await witness.stop();
    folder.remove();
  }
  const missingMs = findings.map(({ missingUs }) => missingUs / 1000).sort((a, b) => a - b);
  const worstMs = missingMs.at(-1) ?? Number.NaN;
  const damaged = findings.filter(({ integrity }) => integrity !== 'ok').length;
  const held = findings.filter(({ missingUs, wasHeldUp }) => wasHeldUp && missingUs > MOST_MISSING_MS * 1000);
  return {
    value: Math.round(worstMs * 10) / 10,
    unit: 'ms of samples missing after the worst kill',
    baseline: Math.round(witness.longestHoldUpMs()),
    limit: MOST_MISSING_MS,
    met: worstMs <= MOST_MISSING_MS && damaged === 0,
    note:
      `${kills} kills at 1 000 lines/s, ${BENCHES} benches side by side, 0.05 to 2.55 s into the run; ${damaged} databases damaged; median ${(missingMs[Math.floor(missingMs.length / 2)] ?? Number.NaN).toFixed(1)} ms; ` +
      `${held.length} kills over the limit just after a bare process beside it was held up; ${repeats} more came before the first rows of a trial, just after it was, and were done again. Baseline: longest delay of a timer or a synced write of that process, in ms. Each trial was offered as interrupted and could be kept with its figures.`,
  };
}
