import { checkReading } from './check-reading.ts';
import type { CalibrationRun, PlannedReading, ReadingFlag } from './run-model.ts';
import {
  type CalibrationInUse,
  fullDeflectionCounts,
  knownGain,
  loadBefore,
  newestZero,
  signedTorqueNm,
} from './run-scale.ts';
import type { Asked } from './watch-steadiness.ts';

/** What a run knows beside its own readings. */
export interface RunSurroundings {
  readonly inUse: CalibrationInUse | null;
  readonly capacityNm: number | null;
  readonly converterBits: number;
}

/**
 * Ours: over a dwell the means of its tenths may spread and drift by so much of the greatest deflection, beyond what noise
 * explains. A drift of 0.02 % costs a calibration of class 0.1 nothing that its hysteresis does not cost anyway.
 */
const SPREAD_SHARE = 0.0004;
const DRIFT_SHARE = 0.0002;
/** Warm-up: the zero changes by less than 0.05 % of the capacity in 10 minutes. */
const WARM_UP_S = 600;
const WARM_UP_SHARE = 0.0005;
/** Ours: the load counts as changed once the reading has gone this part of the way. */
const CHANGED_SHARE = 0.1;
/** Ours: the same where no gain is known yet, of the greatest deflection as it is assumed then. */
const CHANGED_UNKNOWN_SHARE = 0.002;

/** What the watch has to wait for, for a planned reading of a run as it stands. */
export function askFor(
  run: CalibrationRun,
  planned: PlannedReading,
  surroundings: RunSurroundings,
): { readonly asked: Asked; readonly dwellS: number } {
  const gain = knownGain(run, planned, surroundings.inUse);
  const fullCounts = fullDeflectionCounts(run, gain, surroundings.converterBits);
  if (planned.stage === 'warmUp') {
    const { capacityNm } = surroundings;
    const capacityCounts =
      gain === null || capacityNm === null ? fullCounts : Math.abs(gain.countsPerNm) * capacityNm;
    const allowed = {
      spreadCounts: WARM_UP_SHARE * capacityCounts,
      driftCounts: WARM_UP_SHARE * capacityCounts,
    };
    return {
      asked: { beforeCounts: null, leastChangeCounts: 0, allowed, creepAtS: null },
      dwellS: Math.max(WARM_UP_S, run.setup.dwellS),
    };
  }
  const allowed = { spreadCounts: SPREAD_SHARE * fullCounts, driftCounts: DRIFT_SHARE * fullCounts };
  const creepAtS = planned.stage === 'creep30' ? 30 : planned.stage === 'creep300' ? 300 : null;
  const before = loadBefore(run, planned);
  // What was done by hand has changed the load already, or need not.
  const isOtherLoad = before !== null && planned.handling === null && before.planned.level !== planned.level;
  const changeCounts =
    gain === null || before === null
      ? CHANGED_UNKNOWN_SHARE * fullCounts
      : CHANGED_SHARE *
        Math.abs(gain.countsPerNm * (signedTorqueNm(planned) - signedTorqueNm(before.planned)));
  return {
    asked: {
      beforeCounts: isOtherLoad ? before.counts : null,
      leastChangeCounts: isOtherLoad ? Math.max(changeCounts, 3 * allowed.spreadCounts) : 0,
      allowed,
      creepAtS,
    },
    dwellS: run.setup.dwellS,
  };
}

/** What a steady reading of a run says about the load that hangs. */
export function checkAgainstRun(
  run: CalibrationRun,
  planned: PlannedReading,
  meanCounts: number,
  surroundings: RunSurroundings,
): ReadingFlag[] {
  const gain = knownGain(run, planned, surroundings.inUse);
  return checkReading({
    setup: run.setup,
    asked: planned,
    meanCounts,
    zeroCounts: newestZero(run, planned)?.meanCounts ?? null,
    before: loadBefore(run, planned)?.planned ?? null,
    gain,
    fullDeflectionCounts: fullDeflectionCounts(run, gain, surroundings.converterBits),
    converterBits: surroundings.converterBits,
  });
}
