import type { runSheetRequests } from '../../shared-lib/run-sheet/run-sheet-requests.ts';
import type { RequestHandlers } from '../services.ts';
import { createDraftPart } from './draft-part.ts';
import { createItemsPart } from './items-part.ts';
import { createPlanPart } from './plan-part.ts';
import type { RunSheetTools } from './run-sheet-tools.ts';
import { createSessionPart } from './session-part.ts';
import { createSheetPart } from './sheet-part.ts';

/** All that has to do with setups, plans, run sheets and sessions, as one part of the program. */
export function createRunSheetParts(tools: RunSheetTools) {
  const handlers: Pick<RequestHandlers, keyof typeof runSheetRequests> = {
    ...createItemsPart(tools).handlers,
    ...createPlanPart(tools).handlers,
    ...createDraftPart(tools).handlers,
    ...createSheetPart(tools).handlers,
    ...createSessionPart(tools).handlers,
  };
  return { handlers };
}
