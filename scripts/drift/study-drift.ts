import type { Distributions } from '../../shared-lib/calibration/distributions.ts';
import { referenceDrift } from '../../shared-lib/run-sheet/drift-over-time.ts';
import { expandRunSheet } from '../../shared-lib/run-sheet/expand-run-sheet.ts';
import { readyMadePlans } from '../../shared-lib/run-sheet/ready-made-plans.ts';
import type { SetupAsTested } from '../../shared-lib/run-sheet/setup-model.ts';
import { pullEndsS } from '../../shared-lib/run-sheet/sheet-duration.ts';
import { createSeededRandom, type SeededRandom } from '../../shared-lib/simulation/seeded-random.ts';

/** A day at the bench as far as the reference tool sees it; its scatter is that of ln(torque). */
export interface Day {
  readonly hours: number;
  readonly rounds: number;
  readonly scatterPercent: number;
  readonly driftPercentPerHour: number;
}

export interface Flags {
  readonly flagged: number;
  /** How often the stated 95 % interval held the true drift. */
  readonly covered: number;
  /** How often that interval left out zero, which alone makes no flag. */
  readonly zeroOutside: number;
}

const SETUPS = 3;
const TRUE_TORQUE_NM = 400;

/**
 * When the reference tool is pulled, in h: three demo tools and a reference through the ready-made "Full set", with equal
 * breaks beside the rounds so that the last pull lies at the end of the day.
 */
export function referenceTimes({ hours, rounds }: Pick<Day, 'hours' | 'rounds'>): number[] {
  const plan = readyMadePlans.find(({ name }) => name === 'Full set');
  if (plan === undefined) throw new Error('There is no plan "Full set".');
  const setups = Array.from({ length: SETUPS }, (_, index) => demoSetup(`demo tool ${index + 1}`));
  const entries = expandRunSheet(
    { plan: { ...plan, rounds }, setupIds: setups.map(({ setupId }) => setupId), order: 'rounds', seed: 0 },
    setups,
    demoSetup('demo reference'),
  );
  const endsS = pullEndsS(entries);
  const workedS = endsS.at(-1) ?? 0;
  const breakS = (3600 * hours - workedS) / rounds;
  if (breakS < 0) throw new RangeError(`${rounds} rounds do not fit into ${hours} h.`);
  const lastCounted = entries.findLastIndex(({ role }) => role === 'counted');
  return entries.flatMap(({ role, round }, index) => {
    if (role !== 'reference') return [];
    const breaks = index > lastCounted ? rounds : Math.max(0, round - 0.5);
    return [((endsS[index] ?? 0) + breaks * breakS) / 3600];
  });
}

/** What is flagged in so many seeded days. */
export function flagsOf(day: Day, days: number, distributions: Distributions): Flags {
  const times = referenceTimes(day);
  // The drift is stated in percent of the day's mean torque, not of its first.
  const meanHours = times.reduce((sum, hours) => sum + hours, 0) / times.length;
  const truth = day.driftPercentPerHour / (1 + (day.driftPercentPerHour / 100) * meanHours);
  const flags = { flagged: 0, covered: 0, zeroOutside: 0 };
  for (let seed = 1; seed <= days; seed += 1) {
    const drift = driftOfDay(day, times, createSeededRandom(seed, 0), distributions);
    const holds = (perHour: number): boolean => drift.lowPerHour <= perHour && perHour <= drift.highPerHour;
    if (drift.isFlagged) flags.flagged += 1;
    if (holds(truth)) flags.covered += 1;
    if (!holds(0)) flags.zeroOutside += 1;
  }
  return {
    flagged: flags.flagged / days,
    covered: flags.covered / days,
    zeroOutside: flags.zeroOutside / days,
  };
}

/** The least drift, in steps of 0.1 % per hour, that is flagged on at least nine of ten days. */
export function leastFlagged(
  day: Omit<Day, 'driftPercentPerHour'>,
  days: number,
  distributions: Distributions,
): number {
  for (let tenths = 1; tenths <= 1000; tenths += 1) {
    const driftPercentPerHour = tenths / 10;
    if (flagsOf({ ...day, driftPercentPerHour }, days, distributions).flagged >= 0.9)
      return driftPercentPerHour;
  }
  throw new RangeError('Not even a drift of 100 % an hour was flagged.');
}

function driftOfDay(
  { scatterPercent, driftPercentPerHour }: Day,
  times: readonly number[],
  random: SeededRandom,
  distributions: Distributions,
) {
  const drift = referenceDrift(
    times.map((hours) => ({
      hours,
      sustainedTorqueNm:
        TRUE_TORQUE_NM *
        (1 + (driftPercentPerHour / 100) * hours) *
        Math.exp((scatterPercent / 100) * random.gaussian()),
    })),
    distributions,
  );
  if (drift === null) throw new Error('A day with reference pulls has no drift.');
  return drift;
}

function demoSetup(name: string): SetupAsTested {
  return {
    setupId: name,
    toolId: name,
    toolName: name,
    supply: 'battery',
    declaredVibrationMps2: null,
    declaredNoiseDbA: null,
    packId: null,
    packName: null,
    packCapacityAh: null,
    setting: '',
    socket: null,
  };
}
