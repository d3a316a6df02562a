import type { Settings } from '../../shared-lib/api-contract.ts';
import { AppError } from '../../shared-lib/app-error.ts';
import type { BenchStatus } from '../../shared-lib/bench-status.ts';
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
      const { toolId } = await shown.getFiguresShown({ trialId });
      const { tools } = await shown.listCatalogue({});
      const tool = tools.find(({ tool: { id } }) => id === toolId);
      isHeldBack =
        tool !== undefined && !tool.ratings.some(({ rater }) => foldRater(rater) === foldRater(operator));
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

function foldRater(rater: string): string {
  return rater.trim().toLowerCase();
}
