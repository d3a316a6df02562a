import type { BenchStatus } from '../../shared-lib/bench-status.ts';
import type { CalibrationVersion } from '../../shared-lib/calibration/calibration-model.ts';
import type { CheckState } from '../../shared-lib/calibration/daily-check-model.ts';
import { describeCheckState } from '../../shared-lib/calibration/describe-check-state.ts';
import { topUncertaintyPercent } from '../../shared-lib/calibration/uncertainty-at.ts';
import type { Transducer } from '../../shared-lib/trial/trial-model.ts';
import type { Clock } from '../platform/clock.ts';
import { localDay } from '../platform/local-day.ts';
import { getCalibrationResult } from '../storage/calibration-repository.ts';
import { countTrialsMadeWith } from '../storage/calibration-use.ts';
import { readCheckStanding } from '../storage/check-repository.ts';
import type { ReadableDatabase } from '../storage/database.ts';
import { listSuspectTrialIds } from '../storage/suspicion-repository.ts';

/** Whether the calibration in use still holds: its date, its trials, its checks. */
export interface CalibrationInUse {
  view(calibration: CalibrationVersion): NonNullable<BenchStatus['calibration']>;
  checkState(transducer: Transducer): CheckState;
  /** A check, an overload, a trial or a decision was stored. */
  changed(): void;
}

interface Standing {
  readonly key: string;
  readonly check: CheckState;
  readonly trialCount: number;
  readonly foundUncertaintyPercent: number | null;
}

/** The status is told up to 25 times a second, so what rests on tables that grow is read once per change and day. */
export function createCalibrationInUse(database: ReadableDatabase, clock: Clock): CalibrationInUse {
  let read: Standing | null = null;

  const standingOf = (transducerId: string, calibrationId: string) => {
    const today = localDay(clock.now());
    const key = `${transducerId} ${calibrationId} ${today}`;
    if (read?.key === key) return read;
    const { openFailureAt, lastPassedAt, lastOverloadAt, newestCheckId } = readCheckStanding(
      database,
      calibrationId,
    );
    const check = describeCheckState({
      today,
      openFailureDay: openFailureAt === null ? null : localDay(openFailureAt),
      lastPassed: lastPassedAt === null ? null : { at: lastPassedAt, day: localDay(lastPassedAt) },
      newestCheckId,
      isOverloadUnchecked: lastOverloadAt !== null && lastOverloadAt > (lastPassedAt ?? ''),
      suspectCount: listSuspectTrialIds(database, transducerId).length,
    });
    read = {
      key,
      check,
      trialCount: countTrialsMadeWith(database, calibrationId),
      foundUncertaintyPercent: topUncertaintyPercent(getCalibrationResult(database, calibrationId)),
    };
    return read;
  };

  return {
    view(calibration) {
      const { check, trialCount, foundUncertaintyPercent } = standingOf(
        calibration.transducerId,
        calibration.id,
      );
      const { validUntil, validForTrials } = calibration;
      const trialsLeft = validForTrials === null ? null : Math.max(0, validForTrials - trialCount);
      return {
        id: calibration.id,
        label: calibration.label,
        createdAt: calibration.createdAt,
        enteredUncertaintyPercent: calibration.enteredUncertaintyPercent,
        foundUncertaintyPercent,
        hasForward: calibration.forward !== null,
        hasReverse: calibration.reverse !== null,
        validUntil,
        trialsLeft,
        isExpired:
          (validUntil !== null && localDay(clock.now()) > validUntil) ||
          trialsLeft === 0 ||
          check.state === 'failed',
        check,
      };
    },

    checkState({ id, activeCalibrationId }) {
      if (activeCalibrationId !== null) return standingOf(id, activeCalibrationId).check;
      return {
        state: 'noCalibration',
        sentence: 'There is no calibration in use yet, so there is nothing to check against.',
        lastPassedAt: null,
        newestCheckId: null,
        suspectCount: listSuspectTrialIds(database, id).length,
      };
    },

    changed() {
      read = null;
    },
  };
}
