import { distributionFunctions } from '../../shared-lib/calibration/distribution-functions.ts';
import { AppError } from '../../shared-lib/app-error.ts';
import type { RequestResult } from '../../shared-lib/api-contract.ts';
import { exposureOf } from '../../shared-lib/run-sheet/exposure.ts';
import type { RequestHandlers } from '../services.ts';
import { getCalibration } from '../storage/calibration-repository.ts';
import { retryWhenLocked } from '../storage/retry-when-locked.ts';
import {
  getSession,
  getSessionConditions,
  getSessionSummary,
  listSessions,
  updateSessionConditions,
} from '../storage/session-repository.ts';
import {
  listSessionPulls,
  listSessionSkips,
  listSessionTrials,
  listSessionVoids,
} from '../storage/session-trials.ts';
import type { RunSheetTools } from './run-sheet-tools.ts';
import { driftOfReference, figuresOfSetups, zeroDrift } from './session-report.ts';

type Names = 'updateSession' | 'endSession' | 'listSessions' | 'getSessionReport';

/** One sitting at the bench: what is around it, its end, and what came of it. */
export function createSessionPart(tools: RunSheetTools): {
  readonly handlers: Pick<RequestHandlers, Names>;
} {
  const { database, bench, settings } = tools;

  const report = (sessionId: string): RequestResult<'getSessionReport'> => {
    const summary = getSessionSummary(database, sessionId);
    const { qualityGate } = settings.current();
    const distributions = distributionFunctions;
    const trials = listSessionTrials(database, sessionId);
    return {
      summary,
      conditions: getSessionConditions(database, sessionId),
      safetyConfirmedAt: getSession(database, sessionId).safetyConfirmedAt,
      qualityGate,
      setups: figuresOfSetups(trials, qualityGate, distributions),
      voided: listSessionVoids(database, sessionId),
      skipped: listSessionSkips(database, sessionId),
      zeroDrift: zeroDrift(trials, (id) => getCalibration(database, id), distributions),
      referenceDrift: driftOfReference(trials, qualityGate, distributions),
      exposure: exposureOf(listSessionPulls(database, sessionId)),
    };
  };

  return {
    handlers: {
      updateSession: (changes) =>
        retryWhenLocked(() => {
          const conditions = updateSessionConditions(database, bench.sessionId(), changes);
          tools.statusChanged();
          return conditions;
        }),
      endSession: () =>
        retryWhenLocked(() => {
          bench.refuseWhileBusy('Ending the session');
          const sessionId = bench.endSession();
          if (sessionId === null) {
            throw new AppError(
              'session-not-found',
              'No session has begun with the transducer that is connected, so there is none to end. Nothing was changed.',
            );
          }
          tools.statusChanged();
          return { sessionId };
        }),
      listSessions: (page) => listSessions(database, page),
      getSessionReport: ({ sessionId }) => report(sessionId),
    },
  };
}
