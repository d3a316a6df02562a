import type { Direction } from '../trial/step-model.ts';
import type { CalibrationSense } from './calibration-model.ts';
import { newestTaken } from './plan-run.ts';
import type { CalibrationRun, PlannedReading, TakenReading } from './run-model.ts';

/** What a run has shown so far of zero and gain; for judging readings, not for the calibration itself. */
export interface KnownGain {
  /** Counts of deflection per N m of signed torque. */
  readonly countsPerNm: number;
  /** Where from: this run in this sense, this run in the other sense, or the calibration in use. */
  readonly source: 'run' | 'otherSense' | 'calibration';
}

/** Gains of the calibration in use, for the first loads of a run. */
export interface CalibrationInUse {
  readonly forward: Pick<CalibrationSense, 'gainNmPerCount'> | null;
  readonly reverse: Pick<CalibrationSense, 'gainNmPerCount'> | null;
}

type RunReadings = Pick<CalibrationRun, 'readings' | 'taken' | 'replaced'>;

const signOf = (sense: Direction): 1 | -1 => (sense === 'forward' ? 1 : -1);

/** Signed torque of a planned reading in N m: reverse is negative. */
export function signedTorqueNm(reading: Pick<PlannedReading, 'sense' | 'torqueNm'>): number {
  return signOf(reading.sense) * reading.torqueNm;
}

interface Read {
  readonly planned: PlannedReading;
  readonly taken: TakenReading;
}

function readsOf(run: RunReadings): Read[] {
  return run.taken.flatMap((taken) => {
    const planned = run.readings[taken.index];
    return planned === undefined ? [] : [{ planned, taken }];
  });
}

const isSameMounting = (one: PlannedReading, other: PlannedReading): boolean =>
  one.sense === other.sense && one.mounting === other.mounting;

/** The newest reading of the bare arm in the mounting of `asked`; null where there is none yet. */
export function newestZero(run: RunReadings, asked: PlannedReading): TakenReading | null {
  return readsOf(run).reduce<TakenReading | null>(
    (newest, { planned, taken }) =>
      planned.level === 0 && isSameMounting(planned, asked) && (newest === null || taken.id > newest.id)
        ? taken
        : newest,
    null,
  );
}

/**
 * The gain from the greatest torque that was read in a sense: of this run where it has one, those without a remark first;
 * else of the other sense; else of the calibration in use. Null where nothing is known.
 */
export function knownGain(
  run: RunReadings,
  asked: PlannedReading,
  inUse: CalibrationInUse | null,
): KnownGain | null {
  const other: Direction = asked.sense === 'forward' ? 'reverse' : 'forward';
  const own = gainOfSense(run, asked.sense);
  if (own !== null) return { countsPerNm: own, source: 'run' };
  const ofOther = gainOfSense(run, other);
  if (ofOther !== null) return { countsPerNm: ofOther, source: 'otherSense' };
  const sense = inUse?.[asked.sense] ?? inUse?.[other] ?? null;
  return sense === null ? null : { countsPerNm: 1 / sense.gainNmPerCount, source: 'calibration' };
}

function gainOfSense(run: RunReadings, sense: Direction): number | null {
  const loaded = readsOf(run).filter(({ planned }) => planned.sense === sense && planned.level > 0);
  const clean = loaded.filter(({ taken }) => taken.flags.length === 0);
  const [greatest] = (clean.length > 0 ? clean : loaded).sort(
    (one, other) => other.planned.torqueNm - one.planned.torqueNm || other.taken.id - one.taken.id,
  );
  if (greatest === undefined) return null;
  const zero = newestZero(run, greatest.planned);
  if (zero === null) return null;
  const deflectionCounts = greatest.taken.meanCounts - zero.meanCounts;
  return deflectionCounts === 0 ? null : deflectionCounts / signedTorqueNm(greatest.planned);
}

/** The load that hangs: its planned reading and what it read; null where the rig was handled since, or nothing was read. */
export function loadBefore(
  run: RunReadings,
  asked: PlannedReading,
): { readonly planned: PlannedReading; readonly counts: number } | null {
  const newest = newestTaken(run);
  const planned = newest === null ? undefined : run.readings[newest.index];
  if (newest === null || planned === undefined || !isSameMounting(planned, asked)) return null;
  return { planned, counts: newest.meanCounts };
}

/** Ours: without any gain the greatest deflection is taken for a twentieth of the converter's half range. */
const ASSUMED_SHARE_OF_RANGE = 0.05;

/** The deflection in counts that limits are shares of: at the greatest torque of the run, as far as it is known. */
export function fullDeflectionCounts(
  run: Pick<CalibrationRun, 'readings'>,
  gain: KnownGain | null,
  converterBits: number,
): number {
  if (gain === null) return ASSUMED_SHARE_OF_RANGE * 2 ** (converterBits - 1);
  const greatestNm = run.readings.reduce((greatest, { torqueNm }) => Math.max(greatest, torqueNm), 0);
  return Math.abs(gain.countsPerNm) * greatestNm;
}
