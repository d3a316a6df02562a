import { AppError } from '../../shared-lib/app-error.ts';
import type { runSheetRequests } from '../../shared-lib/run-sheet/run-sheet-requests.ts';
import type { RequestHandlers } from '../services.ts';

const later = (): never => {
  throw new AppError('internal', 'Not built yet.');
};

export function createRunSheetParts() {
  const handlers: Pick<RequestHandlers, keyof typeof runSheetRequests> = {
    listBenchItems: later,
    saveTool: later,
    savePack: later,
    saveSetup: later,
    listPlans: later,
    savePlan: later,
    deletePlan: later,
    previewRunSheet: later,
    planRounds: later,
    makeRunSheet: later,
    listRunSheets: later,
    getRunSheet: later,
    openRunSheet: later,
    leaveRunSheet: later,
    closeRunSheet: later,
    confirmSetup: later,
    skipEntry: later,
    takeBackSkip: later,
    moveEntry: later,
    updateSession: later,
    endSession: later,
    listSessions: later,
    getSessionReport: later,
  };
  return { handlers };
}
