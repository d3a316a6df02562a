import { randomUUID } from 'node:crypto';
import type { RequestParams } from '../../shared-lib/api-contract.ts';
import { AppError } from '../../shared-lib/app-error.ts';
import type { CalibrationVersion } from '../../shared-lib/calibration/calibration-model.ts';
import { checkSetup } from '../../shared-lib/calibration/check-setup.ts';
import type { Distributions } from '../../shared-lib/calibration/distributions.ts';
import { evaluateRun } from '../../shared-lib/calibration/evaluate-run.ts';
import type { CalibrationResult, Finding, FitOverride } from '../../shared-lib/calibration/result-model.ts';
import type { CalibrationRun, RunWay } from '../../shared-lib/calibration/run-model.ts';
import { senseFromResult } from '../../shared-lib/calibration/uncertainty-at.ts';
import { localDay } from '../platform/local-day.ts';
import { getCalibration, insertCalibration } from '../storage/calibration-repository.ts';
import { type ReadableDatabase, type WritableDatabase, writing } from '../storage/database.ts';
import { getRun, insertRunEvent } from '../storage/run-repository.ts';
import { forgetSense, getTransducer } from '../storage/transducer-repository.ts';
import { chainOfRun } from './chain-of-run.ts';
import { countsSign } from './counts-sign.ts';

const methods = {
  weightsOnArm: 'weightsOnArm',
  loadCell: 'loadCell',
  oneWeight: 'oneWeightTwoArms',
} as const satisfies Record<RunWay, CalibrationVersion['method']>;

/** What the readings so far come to, with what its setup gave to look at on the day it was begun. Errors: those of `evaluateRun`. */
export function resultOfRun(
  database: ReadableDatabase,
  run: CalibrationRun,
  overrides: readonly FitOverride[],
  distributions: Distributions,
): CalibrationResult {
  const { setup, readings, taken } = run;
  const { capacityNm, inUse } = chainOfRun(database, run);
  const result = evaluateRun({ setup, readings, taken, overrides, capacityNm, inUse }, distributions);
  return { ...result, findings: [...result.findings, ...setupFindings(run, capacityNm, result.findings)] };
}

/** A setup that was let through is no reason any more to stop, whatever was entered since; nothing is said twice. */
function setupFindings(
  { setup, startedAt }: CalibrationRun,
  capacityNm: number | null,
  said: readonly Finding[],
): Finding[] {
  const codes = new Set(said.map(({ code }) => code));
  return checkSetup({ setup, today: localDay(startedAt), capacityNm, rigLimitNm: null }).filter(
    ({ code, severity }) => severity !== 'stop' && !codes.has(code),
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
    const result = resultOfRun(database, run, request.overrides, context.distributions);
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
        method: methods[run.setup.way],
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
