import type { Direction } from '../trial/step-model.ts';
import type { CalibrationRun, PlannedReading, ReadingStage, RunSetup, TakenReading } from './run-model.ts';

/** Torque of each level in N m, positive and rising: on the arm, and on the short arm where there is one. */
export interface LevelTorques {
  readonly arm: readonly number[];
  readonly shortArm: readonly number[];
}

type ArmName = PlannedReading['arm'];

/** Repeats of the one weight on each arm (design of the single-weight series). */
const ONE_WEIGHT_REPEATS = 3;
const FULL_MOUNTINGS = 3;

/**
 * Every reading that a setup asks for, in order.
 *
 * Each sense apart. A mounting begins with its exercises, each from the bare arm to the top level and back: as many as the
 * setup says in the first mounting of a sense, one after each remounting. Then its series. Each increasing series has a
 * zero before it; each series that ends in unloading has a zero after it, which bears the number of that series. A
 * decreasing series follows its increasing one at the top level, which is not read twice, and shares the zero before it.
 * Readings outside the series (warm-up, exercises, sideways load) have series 0.
 * Creep is read at the top of the last increasing series of a sense, sideways load after its last series.
 */
export function planRun(setup: RunSetup, levelsNm: LevelTorques): PlannedReading[] {
  const readings: PlannedReading[] = [];
  const [firstSense] = setup.senses;
  if (setup.checks.warmUp && firstSense !== undefined) {
    const plan = createSensePlan(setup, levelsNm, firstSense, readings);
    plan.add('warmUp', 0);
  }
  setup.senses.forEach((sense, senseIndex) => {
    const plan = createSensePlan(setup, levelsNm, sense, readings);
    if (senseIndex > 0) plan.handle(changeOfSense(setup, sense));
    planSense(setup, plan);
  });
  return readings;
}

function planSense(setup: RunSetup, plan: SensePlan): void {
  const { exercises } = setup;
  switch (setup.series) {
    case 'quick':
      plan.exercise(exercises);
      plan.upAndDown({ isLast: true });
      break;
    case 'notRemountable':
      plan.exercise(exercises);
      plan.up({ isLast: false });
      plan.upAndDown({ isLast: true });
      break;
    case 'full':
      plan.exercise(exercises);
      plan.up({ isLast: false });
      plan.up({ isLast: false });
      for (let mounting = 2; mounting <= FULL_MOUNTINGS; mounting += 1) {
        plan.remount(remounting(setup), 'arm');
        plan.exercise(Math.min(1, exercises));
        plan.upAndDown({ isLast: mounting === FULL_MOUNTINGS });
      }
      break;
    case 'twoArmLengths':
      plan.exercise(exercises);
      for (let repeat = 1; repeat <= ONE_WEIGHT_REPEATS; repeat += 1) plan.up({ isLast: false });
      plan.remount(changeOfArm(setup), setup.shortArm === null ? 'arm' : 'shortArm');
      plan.exercise(Math.min(1, exercises));
      for (let repeat = 1; repeat <= ONE_WEIGHT_REPEATS; repeat += 1) {
        plan.up({ isLast: repeat === ONE_WEIGHT_REPEATS });
      }
      break;
  }
  if (setup.checks.bending) plan.bend(sideways(setup));
}

type SensePlan = ReturnType<typeof createSensePlan>;

function createSensePlan(
  setup: RunSetup,
  levelsNm: LevelTorques,
  sense: Direction,
  readings: PlannedReading[],
) {
  const top = setup.levels.length;
  let mounting = 1;
  let series = 0;
  let arm: ArmName = 'arm';
  let handling: string | null = null;

  const add = (stage: ReadingStage, level: number, ofSeries = 0): void => {
    const torqueNm = level === 0 ? 0 : (levelsNm[arm][level - 1] ?? 0);
    readings.push({
      index: readings.length,
      sense,
      stage,
      mounting,
      series: ofSeries,
      level,
      arm,
      torqueNm,
      handling,
    });
    handling = null;
  };
  const climb = ({ isLast }: { isLast: boolean }): void => {
    series += 1;
    add('zeroBefore', 0, series);
    for (let level = 1; level <= top; level += 1) add('increasing', level, series);
    if (!isLast || !setup.checks.creep) return;
    add('creep30', top, series);
    add('creep300', top, series);
  };

  return {
    add,
    /** What has to be done by hand before the next reading. */
    handle(what: string): void {
      handling = what;
    },
    remount(what: string, nextArm: ArmName): void {
      mounting += 1;
      arm = nextArm;
      handling = what;
    },
    exercise(times: number): void {
      for (let time = 1; time <= times; time += 1) {
        add('exercise', 0);
        add('exercise', top);
      }
    },
    up(place: { isLast: boolean }): void {
      climb(place);
      add('zeroAfter', 0, series);
    },
    upAndDown(place: { isLast: boolean }): void {
      climb(place);
      series += 1;
      for (let level = top - 1; level >= 1; level -= 1) add('decreasing', level, series);
      add('zeroAfter', 0, series);
    },
    bend(sides: readonly string[]): void {
      for (const side of sides) {
        handling = side;
        add('bending', top);
      }
    },
  };
}

/** The first reading still to be taken, which after a redo may lie before others that were taken; null: none is left. */
export function nextIndex(
  readings: readonly PlannedReading[],
  taken: readonly Pick<TakenReading, 'index'>[],
): number | null {
  const isTaken = new Set(taken.map(({ index }) => index));
  return readings.find(({ index }) => !isTaken.has(index))?.index ?? null;
}

/**
 * The planned reading whose load hangs there, as far as the readings tell: the newest that was taken, replaced ones among
 * them; null before the first.
 */
export function hangingReading(
  run: Pick<CalibrationRun, 'readings' | 'taken' | 'replaced'>,
): PlannedReading | null {
  const newest = newestTaken(run);
  return newest === null ? null : (run.readings[newest.index] ?? null);
}

export function newestTaken(run: Pick<CalibrationRun, 'taken' | 'replaced'>): TakenReading | null {
  return [...run.taken, ...run.replaced].reduce<TakenReading | null>(
    (newest, reading) => (newest === null || reading.id > newest.id ? reading : newest),
    null,
  );
}

const wayTerms = {
  weightsOnArm: { mounted: 'the arm', device: 'the arm' },
  oneWeight: { mounted: 'the arm', device: 'the arm' },
  loadCell: { mounted: 'the load cell', device: 'the hanger' },
} as const;

function changeOfSense(setup: RunSetup, sense: Direction): string {
  const { mounted } = wayTerms[setup.way];
  return `Take everything off and turn ${mounted} round, so that the weights load it in ${sense}. Let it hang free.`;
}

function remounting(setup: RunSetup): string {
  return setup.way === 'loadCell'
    ? 'Take everything off. Take the load cell out, turn it by a third of a turn, and put it in again. Let it hang free.'
    : 'Take everything off. Take the arm off the transducer and put it on again, turned by a third of a turn where the drive allows it. Let it hang free.';
}

function changeOfArm(setup: RunSetup): string {
  if (setup.shortArm === null) return remounting(setup);
  return `Take the weight off. Take ${setup.arm.name} off the transducer and put on ${setup.shortArm.name}. Let it hang free.`;
}

function sideways(setup: RunSetup): string[] {
  const { device } = wayTerms[setup.way];
  return ['to one side', 'to the other side'].map(
    (side) =>
      `Hang all the weights of the top level on ${device}, shifted ${side} as far as may happen in a careless mounting. Keep hands and feet clear of the weights.`,
  );
}
