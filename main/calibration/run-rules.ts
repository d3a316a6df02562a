import { AppError } from '../../shared-lib/app-error.ts';
import type { AmplifierStatus } from '../../shared-lib/bench-status.ts';
import type { CalibrationRun, PlannedReading } from '../../shared-lib/calibration/run-model.ts';
import { signedTorqueNm } from '../../shared-lib/calibration/run-scale.ts';
import type { StoredRun } from '../storage/run-repository.ts';

/** What a run was begun with; it goes on with nothing else. */
export type RunChain = Pick<CalibrationRun, 'id' | 'transducerId' | 'amplifierId'>;

/** Why the run cannot be live now; null: it can. */
export function obstacleToRun(
  chain: RunChain,
  { link, problem, amplifierId }: Pick<AmplifierStatus, 'link' | 'problem' | 'amplifierId'>,
  activeTransducerId: string,
): AppError | null {
  if (link !== 'connected') {
    return new AppError(
      'amplifier-not-connected',
      `${problem?.sentence ?? 'No amplifier is connected.'} The run stays paused, nothing of it is lost; connect the amplifier and go on.`,
      { runId: chain.id },
    );
  }
  if (activeTransducerId !== chain.transducerId || amplifierId !== chain.amplifierId) {
    return new AppError(
      'invalid-state',
      'This run was begun with another transducer or another amplifier, and a calibration holds for the whole chain. The run stays paused; connect what it was begun with, or discard it.',
      { runId: chain.id },
    );
  }
  return null;
}

/** Errors: AppError 'invalid-state' for a run that has ended. */
export function requireOpen(stored: StoredRun): StoredRun {
  const { state } = stored.run;
  if (state !== 'accepted' && state !== 'discarded') return stored;
  throw new AppError(
    'invalid-state',
    `This run was ${state} already, and stays as it is. Nothing was changed.`,
  );
}

/** The reading that is asked for; null once complete. */
export function plannedNext(run: CalibrationRun): PlannedReading | null {
  return run.nextIndex === null ? null : (run.readings[run.nextIndex] ?? null);
}

export function notStarted(obstacle: AppError): AppError {
  return obstacle.code === 'amplifier-not-connected'
    ? new AppError(
        obstacle.code,
        'No amplifier is connected, so there is nothing to calibrate. No run was started; connect one in Setup first.',
      )
    : obstacle;
}

/** An arm that was taken off since is another mounting: its readings cannot be taken again. */
export function refuseOtherMounting({ run, standingIndex }: StoredRun, index: number): void {
  const wanted = run.readings[index];
  const standing = standingIndex === null ? undefined : run.readings[standingIndex];
  if (wanted === undefined || standing === undefined) return;
  if (wanted.sense === standing.sense && wanted.mounting === standing.mounting) return;
  throw new AppError(
    'invalid-state',
    `That reading belongs to mounting ${wanted.mounting} in ${wanted.sense}; the rig was changed since, so it cannot be taken again as it was. Nothing was changed. If it is wrong, discard the run and begin anew.`,
    { index },
  );
}

/** Signed. Errors: AppError 'input-out-of-range' for a level that the run does not have. */
export function torqueToHang(run: CalibrationRun, level: number | null): number {
  const next = plannedNext(run) ?? run.readings.at(-1);
  if (next === undefined) return 0;
  if (level === null) return plannedNext(run) === null ? 0 : signedTorqueNm(next);
  const planned = run.readings.find(
    (reading) => reading.level === level && reading.sense === next.sense && reading.arm === next.arm,
  );
  if (planned !== undefined) return signedTorqueNm(planned);
  throw new AppError(
    'input-out-of-range',
    `This run has levels 0 to ${run.setup.levels.length}; ${level} is none of them. Nothing was hung.`,
  );
}
