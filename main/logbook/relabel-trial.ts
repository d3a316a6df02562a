import { isDeepStrictEqual } from 'node:util';
import type { RequestParams } from '../../shared-lib/api-contract.ts';
import { AppError } from '../../shared-lib/app-error.ts';
import { setupAsTested } from '../../shared-lib/run-sheet/setup-as-tested.ts';
import type { SetupAsTested } from '../../shared-lib/run-sheet/setup-model.ts';
import { listBenchItems } from '../storage/bench-item-repository.ts';
import type { WritableDatabase } from '../storage/database.ts';
import { relabel } from '../storage/relabelling-repository.ts';
import { foldForSearch } from '../storage/search-folding.ts';
import { getTrial } from '../storage/trial-repository.ts';

/**
 * Puts right which tool and setup a trial was pulled with. With a setup, the name of the tool is that of the setup's tool.
 * Without one only the name is given, and a setup that the trial had goes: which one it was is not known then. The setup that the
 * trial has stays under the new name where this bench does not have it, since nothing else here says of which tool it is.
 *
 * Errors: AppError 'trial-not-found'; 'trial-not-finished' while it is recorded; 'bench-item-not-found';
 * 'invalid-request' where setup and name do not go together; 'invalid-state' where nothing would change.
 */
export function relabelTrial(
  database: WritableDatabase,
  { trialId, toolName, setupId, reason }: RequestParams<'relabelTrial'>,
  by: { readonly operator: string; readonly at: string },
): void {
  const { summary } = getTrial(database, trialId);
  const ofBench = setupId === null ? null : findSetup(database, setupId);
  const own = setupId === summary.setup?.setupId ? summary.setup : null;
  const setup = ofBench ?? (own === null ? null : { ...own, toolName });
  if (setupId !== null && setup === null) throw setupNotFound(setupId);
  if (setup !== null && foldForSearch(setup.toolName) !== foldForSearch(toolName)) {
    throw new AppError(
      'invalid-request',
      `This setup is one of ${setup.toolName}, not of ${toolName}. Nothing was changed. Choose a setup of that tool, or none.`,
      { trialId, setupId },
    );
  }
  const named = { toolName: setup?.toolName ?? toolName, setup };
  if (isDeepStrictEqual(named, { toolName: summary.step.toolName, setup: summary.setup })) {
    throw new AppError(
      'invalid-state',
      'The trial has this tool and setup already. Nothing was changed. Choose another one, or leave it as it is.',
      { trialId },
    );
  }
  relabel(database, trialId, { ...named, reason, ...by });
}

/** As it is known on this bench; null where it, or a part of it, is not. */
function findSetup(database: WritableDatabase, setupId: string): SetupAsTested | null {
  const items = listBenchItems(database);
  const setup = items.setups.find(({ id }) => id === setupId);
  return setup === undefined ? null : setupAsTested(setup, items);
}

function setupNotFound(setupId: string): AppError {
  return new AppError(
    'bench-item-not-found',
    'This setup, or a part of it, is not there any more. Nothing was changed. Choose another one from the list.',
    { setupId },
  );
}
