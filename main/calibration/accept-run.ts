import { randomUUID } from 'node:crypto';
import type { RequestParams } from '../../shared-lib/api-contract.ts';
import { AppError } from '../../shared-lib/app-error.ts';
import type { CalibrationVersion } from '../../shared-lib/calibration/calibration-model.ts';
import type { Distributions } from '../../shared-lib/calibration/distributions.ts';
import type { CalibrationResult, FitOverride } from '../../shared-lib/calibration/result-model.ts';
import { methodsOfRuns, resultOfRun } from '../../shared-lib/calibration/result-of-run.ts';
import type { CalibrationRun } from '../../shared-lib/calibration/run-model.ts';
import { senseFromResult } from '../../shared-lib/calibration/uncertainty-at.ts';
import { localDay } from '../platform/local-day.ts';
import { getCalibration, insertCalibration } from '../storage/calibration-repository.ts';
import { type ReadableDatabase, type WritableDatabase, writing } from '../storage/database.ts';
import { getRun, insertRunEvent } from '../storage/run-repository.ts';
import { forgetSense, getTransducer } from '../storage/transducer-repository.ts';
import { chainOfRun } from './chain-of-run.ts';
import { countsSign } from './counts-sign.ts';
import { refuseOtherVersion } from './refuse-other-version.ts';

/** What the readings so far come to, with what its setup gave to look at on the day it was begun. Errors: those of `evaluateRun`. */
export function resultOfStoredRun(
  database: ReadableDatabase,
  run: CalibrationRun,
  overrides: readonly FitOverride[],
  distributions: Distributions,
): CalibrationResult {
  const { setup, readings, taken, startedAt } = run;
  const { capacityNm, inUse } = chainOfRun(database, run);
  return resultOfRun(
    { setup, readings, taken, overrides, capacityNm, inUse, startedOn: localDay(startedAt) },
    distributions,
  );
}

/**
 * Makes a calibration of a complete run and puts it to use; the one before is superseded. All of it or nothing is stored.
 *
 * Errors: AppError 'invalid-state' where readings are missing or a finding stops it, 'invalid-request' without a reason
 * for superseding, 'input-out-of-range' where it would be expired from the start.
 */
export function acceptRun(
  database: WritableDatabase,
  request: RequestParams<'acceptRun'>,
  context: {
    readonly distributions: Distributions;
    readonly operator: string;
    readonly now: string;
    readonly today: string;
  },
): CalibrationVersion {
  const { operator, now } = context;
  return writing(database, () => {
    const run = getRun(database, request.runId);
    const transducer = getTransducer(database, run.transducerId);
    refuseIncomplete(run);
    refuseOtherVersion(transducer, request.supersedesId);
    if (request.validUntil !== null && request.validUntil < context.today) {
      throw new AppError(
        'input-out-of-range',
        `A calibration that holds until ${request.validUntil} would be expired already. Nothing was stored; give a day that is still to come.`,
      );
    }
    const isReplacing = transducer.activeCalibrationId !== null;
    if (isReplacing && request.supersedeReason === null) {
      throw new AppError(
        'invalid-request',
        'This transducer has a calibration in use. Say why the new one replaces it; the old one stays with its trials.',
      );
    }
    const result = resultOfStoredRun(database, run, request.overrides, context.distributions);
    const stop = result.findings.find(({ severity }) => severity === 'stop');
    if (stop !== undefined) {
      throw new AppError('invalid-state', `${stop.sentence} No calibration was stored; the run stays open.`, {
        finding: stop.code,
      });
    }
    const senseOf = (sense: 'forward' | 'reverse') => {
      const found = result.senses.find((candidate) => candidate.sense === sense);
      return found === undefined ? null : senseFromResult(found);
    };
    const previous =
      transducer.activeCalibrationId === null
        ? null
        : getCalibration(database, transducer.activeCalibrationId);
    const version = insertCalibration(
      database,
      {
        id: randomUUID(),
        transducerId: run.transducerId,
        amplifierId: run.amplifierId,
        label: request.label,
        method: methodsOfRuns[run.setup.way],
        runId: run.id,
        validUntil: request.validUntil,
        validForTrials: request.validForTrials,
        forward: senseOf('forward'),
        reverse: senseOf('reverse'),
        enteredUncertaintyPercent: null,
        input: null,
        operator,
        note: request.note,
        createdAt: now,
        supersededAt: null,
        supersedeReason: null,
      },
      isReplacing && request.supersedeReason !== null ? { reason: request.supersedeReason } : null,
      result,
    );
    insertRunEvent(database, run.id, { kind: 'accepted', reason: '', operator, at: now });
    // A clockwise push would now read the other way.
    if (previous && countsSign(previous) !== countsSign(version)) forgetSense(database, run.transducerId);
    return version;
  });
}

function refuseIncomplete(run: CalibrationRun): void {
  if (run.state === 'complete') return;
  if (run.state === 'accepted' || run.state === 'discarded') {
    throw new AppError('invalid-state', `This run was ${run.state} already. Nothing was changed.`);
  }
  const missing = run.readings.length - run.taken.length;
  throw new AppError(
    'invalid-state',
    `${missing} of ${run.readings.length} readings are still to be taken. No calibration was stored; go on with the run first.`,
    { missing },
  );
}
