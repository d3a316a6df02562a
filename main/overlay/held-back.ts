import type { Settings } from '../../shared-lib/api-contract.ts';
import { AppError } from '../../shared-lib/app-error.ts';
import type { BenchStatus } from '../../shared-lib/bench-status.ts';
import type { CatalogueTool } from '../../shared-lib/catalogue/catalogue-model.ts';
import type { TrialSummary } from '../../shared-lib/trial/trial-model.ts';
import type { ShareTools } from '../share-tools.ts';

export interface HeldBack {
  isHeldBack(trialId: string): boolean;
  /** With each status; `onKnown` follows where it had to be looked up. */
  follow(trial: BenchStatus['trial'], settings: Settings): void;
  /** Somebody has rated a tool. */
  forget(): void;
}

/**
 * Whether the figures of a kept trial have to wait for a rating of the tool's handling, which is to be given blind: the rater may look
 * at the overlay. Somebody who puts the rating off in a window keeps them off the overlay until the next trial, since that is a
 * matter of the window. Until it is known they are held back.
 */
export function createHeldBack({ shown }: Pick<ShareTools, 'shown'>, onKnown: () => void): HeldBack {
  let known: { readonly trialId: string; readonly isHeldBack: boolean } | null = null;
  let lookedUp: string | null = null;
  let isAsked = false;

  const lookUp = async (trialId: string, operator: string): Promise<void> => {
    let isHeldBack = false;
    try {
      const { summary } = await shown.getTrial({ trialId });
      const { tools } = await shown.listCatalogue({});
      const tool = toolOf(summary, tools);
      isHeldBack =
        tool !== null && !tool.ratings.some(({ rater }) => foldRater(rater) === foldRater(operator));
    } catch (error) {
      // The bench goes on where the catalogue cannot be asked, as its own page does.
      if (!(error instanceof AppError)) throw error;
    }
    if (lookedUp !== trialId) return;
    known = { trialId, isHeldBack };
    onKnown();
  };

  return {
    isHeldBack: (trialId) => isAsked && (known?.trialId !== trialId || known.isHeldBack),
    follow(trial, { ratesHandlingBlind, operator }) {
      isAsked = ratesHandlingBlind && operator.trim() !== '';
      if (!isAsked || trial.phase !== 'kept' || lookedUp === trial.trialId) return;
      lookedUp = trial.trialId;
      void lookUp(trial.trialId, operator);
    },
    forget() {
      lookedUp = null;
    },
  };
}

/** The tool that was pulled, or what it was merged into; null where the catalogue has none, or several of that name. */
function toolOf({ setup, step }: TrialSummary, tools: readonly CatalogueTool[]): CatalogueTool | null {
  const byId = (wanted: string) => tools.find(({ tool }) => tool.id === wanted) ?? null;
  const named = tools.filter(
    ({ tool }) => !tool.isArchived && tool.name.toLowerCase() === step.toolName.trim().toLowerCase(),
  );
  let found = setup === null ? (named.length === 1 ? (named[0] ?? null) : null) : byId(setup.toolId);
  const seen = new Set<string>();
  while (found !== null && found.mergedIntoToolId !== null && !seen.has(found.tool.id)) {
    seen.add(found.tool.id);
    found = byId(found.mergedIntoToolId);
  }
  return found;
}

function foldRater(rater: string): string {
  return rater.trim().toLowerCase();
}
