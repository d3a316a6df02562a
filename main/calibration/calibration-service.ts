import { randomUUID } from 'node:crypto';
import type { CalibrationPreview, RequestParams } from '../../shared-lib/api-contract.ts';
import { AppError } from '../../shared-lib/app-error.ts';
import type { CalibrationInput, CalibrationVersion } from '../../shared-lib/calibration/calibration-model.ts';
import { computeCalibration } from '../../shared-lib/calibration/compute-calibration.ts';
import { getCalibration, insertCalibration } from '../storage/calibration-repository.ts';
import { writing, type WritableDatabase } from '../storage/database.ts';
import { forgetSense } from '../storage/transducer-repository.ts';
import type { Transducer } from '../../shared-lib/trial/trial-model.ts';
import { countsSign } from './counts-sign.ts';
import { refuseOtherTransducer, refuseOtherVersion } from './refuse-other-version.ts';

export function previewCalibration(input: CalibrationInput): CalibrationPreview {
  const computed = computeCalibration(input);
  return {
    forwardTorqueNm: computed.forwardTorqueNm,
    reverseTorqueNm: computed.reverseTorqueNm,
    forwardGainNmPerCount: computed.forward?.gainNmPerCount ?? null,
    reverseGainNmPerCount: computed.reverse?.gainNmPerCount ?? null,
    gravityMps2: computed.gravityMps2,
    remarks: [...computed.remarks],
  };
}

/**
 * Stores a version and puts it to use. An earlier version stays, superseded with the reason. Where the sign of torque
 * over counts is another one, a clockwise push would now read the other way, so the direction has to be confirmed again.
 *
 * Errors: AppError 'bench-moved-on' where another transducer or version is in use than the window shows; 'invalid-request' without a reason
 * for superseding.
 */
export function saveCalibration(
  database: WritableDatabase,
  transducer: Transducer,
  request: RequestParams<'saveCalibration'>,
  context: {
    /** The amplifier that it is made with; null where none is connected. */
    readonly amplifierId: string | null;
    readonly operator: string;
    readonly now: string;
  },
): CalibrationVersion {
  refuseOtherTransducer(transducer, request.transducerId);
  refuseOtherVersion(transducer, request.supersedesId);
  const computed = computeCalibration(request.input);
  const isReplacing = transducer.activeCalibrationId !== null;
  if (isReplacing && request.supersedeReason === null) {
    throw new AppError(
      'invalid-request',
      'This transducer has a calibration in use. Say why the new one replaces it; the old one stays with its trials.',
    );
  }
  const version: CalibrationVersion = {
    id: randomUUID(),
    transducerId: transducer.id,
    amplifierId: context.amplifierId,
    label: request.label,
    method: request.input.method,
    forward: computed.forward,
    reverse: computed.reverse,
    enteredUncertaintyPercent: request.enteredUncertaintyPercent,
    input: request.input,
    operator: context.operator,
    note: request.note,
    runId: null,
    validUntil: null,
    validForTrials: null,
    createdAt: context.now,
    supersededAt: null,
    supersedeReason: null,
  };
  const previousId = transducer.activeCalibrationId;
  const previous = previousId === null ? null : getCalibration(database, previousId);
  writing(database, () => {
    insertCalibration(
      database,
      version,
      isReplacing && request.supersedeReason !== null ? { reason: request.supersedeReason } : null,
    );
    if (previous && countsSign(previous) !== countsSign(version)) forgetSense(database, transducer.id);
  });
  return version;
}
