import type { RequestParams, RequestResult } from '../../shared-lib/api-contract.ts';
import { AppError } from '../../shared-lib/app-error.ts';
import type { CalibrationVersion } from '../../shared-lib/calibration/calibration-model.ts';
import { describeCheckLoad } from '../../shared-lib/calibration/check-load.ts';
import type {
  CheckLoad,
  CheckMeans,
  ControlChart,
  DailyCheck,
} from '../../shared-lib/calibration/daily-check-model.ts';
import { controlCharts } from '../../shared-lib/calibration/judge-daily-check.ts';
import {
  errorPercent,
  likeChecks,
  readCheck,
  refuseUnfitReference,
} from '../../shared-lib/calibration/read-check.ts';
import { localDay } from '../platform/local-day.ts';
import { getCalibrationResult } from '../storage/calibration-repository.ts';
import { insertCheck, listChecks, newestMeans } from '../storage/check-repository.ts';
import { writing } from '../storage/database.ts';
import { retryWhenLocked } from '../storage/retry-when-locked.ts';
import { decideSuspects, listOpenFailures, listSuspectMarks } from '../storage/suspicion-repository.ts';
import type { CalibrationPart, CalibrationTools } from './calibration-tools.ts';
import { createOverloadWatch } from './overload-watch.ts';
import { refuseChangedStandards } from './refuse-changed-standards.ts';

export type CheckPart = CalibrationPart<
  'getDailyChecks' | 'previewDailyCheck' | 'recordDailyCheck' | 'decideSuspects'
>;

/** The daily check, what it makes of the trials around it, and overloads, which call for another one. */
export function createCheckPart(tools: CalibrationTools): CheckPart {
  const { platform, database, settings, bench, calibrationInUse } = tools;
  const watchOverload = createOverloadWatch(tools);

  /** A check or a decision bears on trials that a window may be showing. */
  const told = (trialIds: readonly string[]): void => {
    calibrationInUse.changed();
    for (const trialId of trialIds) tools.trialsChanged(trialId);
    tools.statusChanged();
  };

  const loadOf = (means: CheckMeans, calibration: CalibrationVersion): CheckLoad => {
    const { capacityNm, rigLimitNm } = bench.activeTransducer();
    return describeCheckLoad({
      means,
      calibration,
      limits: { capacityNm, rigLimitNm },
      today: localDay(platform.clock.now()),
    });
  };

  const record = ({
    means,
    zeroCounts,
    readingCounts,
    newReferenceReason,
  }: RequestParams<'recordDailyCheck'>): DailyCheck => {
    bench.refuseWhileBusy('Recording a check');
    const calibration = bench.calibrationToUse('A check');
    if (means.kind === 'weight') {
      const { weights, arm, site } = means;
      refuseChangedStandards(database, { weights, arms: [arm], sites: [site] }, 'Nothing was stored.');
    }
    const at = platform.clock.now();
    // Read and stored together: the reference of the shunt is the newest one there is.
    const { check, trialIds } = writing(database, () => {
      const before = listSuspectMarks(database, calibration.transducerId);
      const taken = {
        means,
        zeroCounts,
        readingCounts,
        calibration,
        result: getCalibrationResult(database, calibration.id),
        earlier: listChecks(database, calibration.id),
        today: localDay(at),
        newReferenceReason,
      };
      const read = readCheck(taken);
      refuseUnfitReference(read, taken);
      refuseStopped(loadOf(means, calibration));
      const stored = insertCheck(database, {
        transducerId: calibration.transducerId,
        calibrationId: calibration.id,
        at: at.toISOString(),
        operator: settings.current().operator,
        means,
        zeroCounts,
        readingCounts,
        ...read,
      });
      const after = listSuspectMarks(database, calibration.transducerId);
      return { check: stored, trialIds: otherwiseMarked(before, after) };
    });
    told(trialIds);
    return check;
  };

  const overview = (): RequestResult<'getDailyChecks'> => {
    const transducer = bench.activeTransducer();
    const { id, activeCalibrationId } = transducer;
    const checks = activeCalibrationId === null ? [] : listChecks(database, activeCalibrationId);
    return {
      state: calibrationInUse.checkState(transducer),
      checks,
      charts: chartsOf(checks),
      usualMeans: newestMeans(database, id),
      failures: listOpenFailures(database, { transducerId: id, calibrationId: activeCalibrationId }),
    };
  };

  return {
    handlers: {
      getDailyChecks: overview,
      previewDailyCheck: ({ means }) => loadOf(means, bench.calibrationToUse('A check')),
      recordDailyCheck: (request) => retryWhenLocked(() => record(request)),
      decideSuspects: ({ trialIds, checkId, decision, reason }) =>
        retryWhenLocked(() => {
          const chosen = [...new Set(trialIds)];
          const by = { operator: settings.current().operator, at: platform.clock.now().toISOString() };
          decideSuspects(database, { trialIds: chosen, checkId }, { decision, reason, ...by });
          told(chosen);
          return { decidedCount: chosen.length };
        }),
    },
    receive: watchOverload,
    amplifierLost: () => undefined,
    tick: () => undefined,
    close: () => undefined,
  };
}

/** Also trials that were suspect before and stand under another check now: a decision names the one it is about. */
function otherwiseMarked(before: ReadonlyMap<string, number>, after: ReadonlyMap<string, number>): string[] {
  return [...new Set([...before.keys(), ...after.keys()])].filter((id) => before.get(id) !== after.get(id));
}

function refuseStopped({ findings }: CheckLoad): void {
  const stop = findings.find(({ severity }) => severity === 'stop');
  if (stop === undefined) return;
  throw new AppError('invalid-state', `${stop.sentence} Nothing was stored.`, { finding: stop.code });
}

/** Of the checks like the newest one: errors of another sense, or of the shunt, have a centre of their own. */
function chartsOf(newestFirst: readonly DailyCheck[]): ControlChart[] {
  const newest = newestFirst.find(({ verdict }) => verdict !== 'reference');
  if (!newest) return [];
  return controlCharts(
    likeChecks(newestFirst, newest.means)
      .toReversed()
      .map((check) => ({
        checkId: check.id,
        at: check.at,
        errorPercent: errorPercent(check),
        isFailed: check.verdict === 'failed',
      })),
  );
}
