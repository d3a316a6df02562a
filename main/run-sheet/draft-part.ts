import { distributionFunctions } from '../../shared-lib/calibration/distribution-functions.ts';
import { randomUUID } from 'node:crypto';
import type { RequestResult } from '../../shared-lib/api-contract.ts';
import { AppError } from '../../shared-lib/app-error.ts';
import { checkDraft, MOST_PULLS } from '../../shared-lib/run-sheet/check-draft.ts';
import { describeEntry } from '../../shared-lib/run-sheet/describe-entry.ts';
import {
  countPulls,
  expandRunSheet,
  type PlannedEntry,
  protectsSentence,
} from '../../shared-lib/run-sheet/expand-run-sheet.ts';
import { planRounds } from '../../shared-lib/run-sheet/plan-rounds.ts';
import type { RunSheet, RunSheetDraft } from '../../shared-lib/run-sheet/run-sheet-model.ts';
import type { SheetFinding } from '../../shared-lib/run-sheet/run-sheet-requests.ts';
import { setupAsTested } from '../../shared-lib/run-sheet/setup-as-tested.ts';
import type { SetupAsTested } from '../../shared-lib/run-sheet/setup-model.ts';
import { sheetDurationS } from '../../shared-lib/run-sheet/sheet-duration.ts';
import type { RequestHandlers } from '../services.ts';
import { listBenchItems } from '../storage/bench-item-repository.ts';
import { retryWhenLocked } from '../storage/retry-when-locked.ts';
import { getRunSheet, insertRunSheet } from '../storage/run-sheet-repository.ts';
import type { RunSheetTools } from './run-sheet-tools.ts';

/** From a draft to a run sheet: what would come of it, how many rounds it needs, and making it. */
export function createDraftPart(tools: Pick<RunSheetTools, 'platform' | 'database' | 'settings' | 'emit'>): {
  readonly handlers: Pick<RequestHandlers, 'previewRunSheet' | 'planRounds' | 'makeRunSheet'>;
} {
  const { database } = tools;

  const makeRunSheet = (draft: RunSheetDraft): RunSheet => {
    const { entries, findings } = readDraft(draft, listBenchItems(database));
    const reasons = findings.flatMap(({ severity, sentence }) => (severity === 'stop' ? [sentence] : []));
    if (reasons.length > 0 || entries.length === 0) {
      throw new AppError('run-sheet-invalid', `The run sheet was not made. ${reasons.join(' ')}`);
    }
    const id = randomUUID();
    insertRunSheet(database, {
      id,
      name: draft.name,
      createdAt: tools.platform.clock.now().toISOString(),
      operator: tools.settings.current().operator,
      plan: draft.plan,
      order: draft.order,
      seed: draft.seed,
      referenceSetupId: draft.referenceSetupId,
      entries: entries.map((entry) => ({ ...entry, id: randomUUID() })),
    });
    tools.emit('runSheetsChanged', {});
    return getRunSheet(database, id);
  };

  return {
    handlers: {
      previewRunSheet: ({ draft }) => preview(draft, listBenchItems(database)),
      planRounds: (question) => planRounds(question, distributionFunctions),
      makeRunSheet: ({ draft }) => retryWhenLocked(() => makeRunSheet(draft)),
    },
  };
}

type BenchItems = RequestResult<'listBenchItems'>;

interface ReadDraft {
  /** None where a setup is not known, or where there are too many: laying those out would hold up the bench. */
  readonly entries: readonly PlannedEntry[];
  readonly pullCount: number;
  readonly findings: SheetFinding[];
}

function readDraft(draft: RunSheetDraft, items: BenchItems): ReadDraft {
  const findings = checkDraft(draft, items);
  const find = (setupId: string): SetupAsTested | null => {
    const setup = items.setups.find(({ id }) => id === setupId);
    return setup === undefined ? null : setupAsTested(setup, items);
  };
  const setups = draft.setupIds.map(find).filter((setup) => setup !== null);
  const reference = draft.referenceSetupId === null ? null : find(draft.referenceSetupId);
  const isKnown =
    setups.length === draft.setupIds.length && (draft.referenceSetupId === null || reference !== null);
  const isTested = draft.referenceSetupId !== null && draft.setupIds.includes(draft.referenceSetupId);
  const pullCount = countPulls(
    draft,
    draft.setupIds.length,
    reference === null ? 'none' : isTested ? 'tested' : 'apart',
  );
  const isLaidOut = isKnown && pullCount <= MOST_PULLS;
  return { entries: isLaidOut ? expandRunSheet(draft, setups, reference) : [], pullCount, findings };
}

function preview(draft: RunSheetDraft, items: BenchItems): RequestResult<'previewRunSheet'> {
  const { entries, pullCount, findings } = readDraft(draft, items);
  const { plan, setupIds } = draft;
  const countedCount =
    setupIds.length * plan.rounds * plan.steps.reduce((sum, { repeats }) => sum + repeats, 0);
  return {
    entries: entries.map((entry) => ({
      setup: entry.setup,
      label: describeEntry(entry, plan),
      role: entry.role,
      round: entry.round,
    })),
    countedCount,
    uncountedCount: pullCount - countedCount,
    durationS: sheetDurationS(entries),
    protects: protectsSentence(draft.order, setupIds.length),
    findings,
  };
}
