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
 * Without one only the name is given, and a setup that the trial had goes: which one it was is not known then.
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
  const setup = setupId === null ? null : requireSetup(database, setupId);
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

function requireSetup(database: WritableDatabase, setupId: string): SetupAsTested {
  const items = listBenchItems(database);
  const setup = items.setups.find(({ id }) => id === setupId);
  const tested = setup === undefined ? null : setupAsTested(setup, items);
  if (tested !== null) return tested;
  throw new AppError(
    'bench-item-not-found',
    'This setup, or a part of it, is not there any more. Nothing was changed. Choose another one from the list.',
    { setupId },
  );
}
