import { checkSetup } from './check-setup.ts';
import type { Distributions } from './distributions.ts';
import { evaluateRun, type RunToEvaluate } from './evaluate-run.ts';
import type { CalibrationVersion } from './calibration-model.ts';
import type { CalibrationResult, Finding } from './result-model.ts';
import type { RunWay } from './run-model.ts';

/** How a calibration of a guided run is called by its way. */
export const methodsOfRuns = {
  weightsOnArm: 'weightsOnArm',
  loadCell: 'loadCell',
  oneWeight: 'oneWeightTwoArms',
} as const satisfies Record<RunWay, CalibrationVersion['method']>;

/**
 * What the readings come to, with what its setup gave to look at on the day it was begun. Errors: those of `evaluateRun`.
 *
 * `startedOn`: that day, where the bench stands.
 */
export function resultOfRun(
  run: RunToEvaluate & { readonly startedOn: string },
  distributions: Distributions,
): CalibrationResult {
  const result = evaluateRun(run, distributions);
  return { ...result, findings: [...result.findings, ...setupFindings(run, result.findings)] };
}

/** A setup that was let through is no reason any more to stop, whatever was entered since; nothing is said twice. */
function setupFindings(
  { setup, startedOn, capacityNm }: RunToEvaluate & { readonly startedOn: string },
  said: readonly Finding[],
): Finding[] {
  const codes = new Set(said.map(({ code }) => code));
  return checkSetup({ setup, today: startedOn, capacityNm, rigLimitNm: null }).filter(
    ({ code, severity }) => severity !== 'stop' && !codes.has(code),
  );
}
