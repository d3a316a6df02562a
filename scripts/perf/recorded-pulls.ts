import { readyMadeProfiles } from '../../shared-lib/amplifier/amplifier-profile.ts';
import { createImpactCurve } from '../../shared-lib/simulation/impact-curve.ts';
import { createSeededRandom } from '../../shared-lib/simulation/seeded-random.ts';
import { simulatedTools } from '../../shared-lib/simulation/simulated-tool.ts';
import { type WritableDatabase, writing } from '../../main/storage/database.ts';
import { performRecordingCommand } from '../../main/storage/recording-commands.ts';
import { appendBlock, beginTrial, type StoredBlock } from '../../main/storage/recording-repository.ts';
import { repackTrial } from '../../main/storage/repack-trial.ts';
import { conditions, newTrial } from '../../tests/integration/storage-support/bench-fixture.ts';
import type { Transducer } from '../../shared-lib/trial/trial-model.ts';

/** Of the design's figure: white noise of a 24-bit converter, standard deviation in counts. */
export const NOISE_COUNTS = 59;
const GAIN_NM_PER_COUNT = 0.00025;
const ZERO_COUNTS = 100;
const BEFORE_S = 1;
const PULL_S = 5;
const AFTER_S = 1;
/** As blocks come from the reader. */
const BLOCK_S = 0.02;

/** Simulated pulls of 7 s, or as long as they are to be, recorded block by block as they come, measured and packed as the program does. Returns their samples. */
export function recordPulls(
  database: WritableDatabase,
  transducer: Transducer,
  {
    sampleRateHz,
    count,
    pullS = PULL_S,
    name = 'pull',
    isOnePull = false,
  }: {
    readonly sampleRateHz: number;
    readonly count: number;
    readonly pullS?: number;
    /** The ids of its trials begin with it. */
    readonly name?: string;
    /** The same counts each time, where only their number counts. */
    readonly isOnePull?: boolean;
  },
): { readonly trialIds: readonly string[]; readonly sampleCount: number } {
  const trialIds: string[] = [];
  let sampleCount = 0;
  let counts: Int32Array | null = null;
  for (let pull = 0; pull < count; pull += 1) {
    if (counts === null || !isOnePull) counts = countsOf(pull, sampleRateHz, pullS);
    const trialId = `${name}-${sampleRateHz}-${pull}`;
    record(database, transducer, trialId, counts, sampleRateHz);
    repackTrial(database, trialId);
    trialIds.push(trialId);
    sampleCount += counts.length;
  }
  return { trialIds, sampleCount };
}

/** A sample is the mean over its period, as a converter gives it. */
function countsOf(seed: number, sampleRateHz: number, pullS: number): Int32Array {
  const curve = createImpactCurve({
    tool: simulatedTools['Hollin H5'],
    isReverse: false,
    runScatter: 0.015,
    triggerS: pullS,
    random: createSeededRandom(seed, 1),
    rigUnloading: 'releases',
  });
  const noise = createSeededRandom(seed, 2);
  return Int32Array.from({ length: (BEFORE_S + pullS + AFTER_S) * sampleRateHz }, (_, slot) => {
    const fromS = slot / sampleRateHz - BEFORE_S;
    const meanNm = (curve.impulseNmS(fromS + 1 / sampleRateHz) - curve.impulseNmS(fromS)) * sampleRateHz;
    return Math.round(ZERO_COUNTS + meanNm / GAIN_NM_PER_COUNT + NOISE_COUNTS * noise.gaussian());
  });
}

function record(
  database: WritableDatabase,
  transducer: Transducer,
  trialId: string,
  counts: Int32Array,
  sampleRateHz: number,
): void {
  const [profile] = readyMadeProfiles;
  if (profile === undefined) throw new Error('There is no ready-made profile');
  const perBlock = Math.round(BLOCK_S * sampleRateHz);
  const blockAt = (firstSlot: number): StoredBlock => ({
    firstSlot,
    counts: counts.slice(firstSlot, firstSlot + perBlock),
    gaps: [],
    // A read is late by up to a millisecond.
    arrivalUs: Math.round(((firstSlot + perBlock) / sampleRateHz) * 1e6) + ((firstSlot * 7919) % 1009),
  });
  const onsetSlot = BEFORE_S * sampleRateHz;
  writing(database, () => {
    const trial = newTrial(transducer, {
      id: trialId,
      onsetSlot,
      conditions: {
        ...conditions(transducer),
        profile: { ...profile, nominalRateHz: sampleRateHz },
        zeroCounts: ZERO_COUNTS,
      },
    });
    beginTrial(database, trial, [blockAt(0)]);
    for (let slot = perBlock; slot < counts.length; slot += perBlock)
      appendBlock(database, trialId, blockAt(slot));
    performRecordingCommand(database, {
      type: 'finish',
      trialId,
      ending: {
        outcome: 'complete',
        sentence: '',
        zeroAfterCounts: ZERO_COUNTS,
        expectedRateHz: sampleRateHz,
        onsetSlot,
        levelsNm: [100],
        operator: 'Demo operator',
        at: '2026-03-04T05:06:07.000Z',
      },
    });
  });
}
