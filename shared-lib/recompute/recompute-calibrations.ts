import { AppError } from '../app-error.ts';
import { appliedTorqueNm } from '../calibration/applied-torque.ts';
import type { CalibrationVersion } from '../calibration/calibration-model.ts';
import { computeCalibration } from '../calibration/compute-calibration.ts';
import { distributionFunctions } from '../calibration/distribution-functions.ts';
import { planRun } from '../calibration/plan-run.ts';
import { methodsOfRuns, resultOfRun } from '../calibration/result-of-run.ts';
import type { CalibrationResult, FitOverride } from '../calibration/result-model.ts';
import type { PlannedReading } from '../calibration/run-model.ts';
import type { Arm } from '../calibration/standards-model.ts';
import { senseFromResult } from '../calibration/uncertainty-at.ts';
import { transducerSchema } from '../trial/trial-model.ts';
import { compareValues, isNotEmpty, wayThatAgrees } from './compare-values.ts';
import { daysAt } from '../instants.ts';
import { NotAPackage } from './not-a-package.ts';
import type { PackageTables } from './read-tables.ts';
import type { StoredCalibration, StoredCalibrations } from './stored-calibrations.ts';
import { readRun, type StoredRun } from './stored-runs.ts';
import type { Tally } from './tally.ts';

/** Every calibration from what it was made of: the readings of its guided run, or the values that were entered. */
export function recomputeCalibrations(
  tables: PackageTables,
  calibrations: StoredCalibrations,
  tally: Tally,
): void {
  for (const calibration of calibrations.all()) {
    const { version } = calibration;
    const where = `calibration ${version.id}, “${version.label}”`;
    try {
      if (version.runId !== null) holdRun(tables, calibrations, { calibration, where }, tally);
      else if (version.input !== null) holdInput(version, where, tally);
      else {
        tally.note(
          where,
          version.method === 'simulated'
            ? 'Of a simulated transducer: its gains are what the simulation takes, and rest on nothing that was measured.'
            : 'Neither readings nor values that were entered stand behind its gains, so they cannot be computed again.',
        );
      }
    } catch (error) {
      if (error instanceof NotAPackage) {
        tally.differ('calibrations', `${where}, ${error.where}`, error.message);
      } else if (error instanceof AppError) {
        tally.differ('calibrations', where, `It cannot be computed again: ${error.message}`);
      } else throw error;
    }
  }
}

function holdInput(version: CalibrationVersion, where: string, tally: Tally): void {
  const { input, method, forward, reverse } = version;
  if (input === null) return;
  const computed = computeCalibration(input);
  compareValues(
    tally,
    'calibrations',
    { where },
    { method, forward, reverse },
    { method: input.method, forward: computed.forward, reverse: computed.reverse },
  );
}

function holdRun(
  tables: PackageTables,
  calibrations: StoredCalibrations,
  { calibration, where }: { readonly calibration: StoredCalibration; readonly where: string },
  tally: Tally,
): void {
  const { version, result } = calibration;
  if (result === null) throw new NotAPackage(where, 'It names a guided run, and has no result of one.');
  const run = readRun(tables, version.runId ?? '');
  compareValues(tally, 'calibrations', { where, path: ['planned'] }, run.readings, plannedBy(run));
  const inUse = inUseBefore(calibrations, version, run);
  if (inUse === null) {
    tally.note(
      where,
      'The calibration that was in use before is not in the package or there was none: whether the gain moved from it was not looked at.',
    );
  }
  const said = {
    method: version.method,
    forward: version.forward,
    reverse: version.reverse,
    result: inUse === null ? withoutGainChange(result) : result,
  };
  const ways = daysAt(run.startedAt).flatMap((startedOn) =>
    possibleCapacities(tables, version.transducerId).map((capacityNm) => {
      const computed = resultOfRun(
        { ...run, overrides: overridesOf(result), capacityNm, inUse, startedOn },
        distributionFunctions,
      );
      return {
        ...senses(computed),
        method: methodsOfRuns[run.setup.way],
        result: inUse === null ? withoutGainChange(computed) : computed,
      };
    }),
  );
  if (isNotEmpty(ways)) compareValues(tally, 'calibrations', { where }, said, wayThatAgrees(said, ways));
}

/** The readings that the weights, arms and series of the run ask for, each with its torque. */
function plannedBy({ setup }: StoredRun): PlannedReading[] {
  const torquesOn = (arm: Arm | null): number[] =>
    arm === null
      ? []
      : setup.levels.map((weights) => appliedTorqueNm({ weights, arm, site: setup.site, way: setup.way }));
  return planRun(setup, { arm: torquesOn(setup.arm), shortArm: torquesOn(setup.shortArm) });
}

function senses({ senses: found }: CalibrationResult): Pick<CalibrationVersion, 'forward' | 'reverse'> {
  const of = (sense: 'forward' | 'reverse') => {
    const result = found.find((candidate) => candidate.sense === sense);
    return result === undefined ? null : senseFromResult(result);
  };
  return { forward: of('forward'), reverse: of('reverse') };
}

/** What the operator asked for beside the rule stands in the result, with its reason. */
function overridesOf(result: CalibrationResult): FitOverride[] {
  return result.senses.flatMap(({ sense, degree, hasConstant, overrideReason }) =>
    overrideReason === null ? [] : [{ sense, degree, hasConstant, reason: overrideReason }],
  );
}

/** It was superseded at the moment at which its successor was made, and holds for the same chain. */
function inUseBefore(
  calibrations: StoredCalibrations,
  version: CalibrationVersion,
  run: StoredRun,
): CalibrationVersion | null {
  const before = calibrations
    .all()
    .find(
      (candidate) =>
        candidate.version.transducerId === version.transducerId &&
        candidate.version.supersededAt === version.createdAt,
    )?.version;
  return before !== undefined && (before.amplifierId === null || before.amplifierId === run.amplifierId)
    ? before
    : null;
}

function withoutGainChange(result: CalibrationResult): CalibrationResult {
  return { ...result, findings: result.findings.filter(({ code }) => code !== 'gain-changed') };
}

/** The transducer has its capacity as it is now; trials have it as it was. */
function possibleCapacities(tables: PackageTables, transducerId: string): (number | null)[] {
  const now = tables
    .rows('transducer')
    .filter((row) => row.text('id') === transducerId)
    .map((row) => row.numberOrNull('capacity_nm'));
  const then = tables
    .rows('trial')
    .filter((row) => row.text('transducer_id') === transducerId)
    .map((row) => row.json('transducer_json', transducerSchema).capacityNm);
  return [...new Set([...now, ...then, null])];
}
