import type { RequestResult, Settings } from '../../../shared-lib/api-contract.ts';
import type { Role } from '../../../shared-lib/run-sheet/run-sheet-model.ts';
import type { TrialSummary } from '../../../shared-lib/trial/trial-model.ts';
import { earlierRating } from '../../tools/tool/rating-form.ts';

/**
 * Whether the figures of a kept trial may be seen. `unknown`: it is being looked up, so they are held back. `later`: after a
 * conditioning pull they are held back without a question, or the rating after the first counted one would not be blind.
 */
export type HandlingQuestion =
  | { readonly state: 'none' }
  | { readonly state: 'unknown' }
  | (PulledTool & { readonly state: 'later' })
  | (PulledTool & {
      readonly state: 'asked';
      /** Figures of the tool have been shown before, to whomever. */
      readonly wereFiguresShown: boolean;
    });

interface PulledTool {
  readonly toolId: string;
  readonly toolName: string;
  /** In which it was pulled. */
  readonly sessionId: string;
}

export interface HandlingFacts {
  readonly settings: Pick<Settings, 'ratesHandlingBlind' | 'operator'>;
  /** Of the kept trial in sight; null: not known yet. */
  readonly summary: TrialSummary | null;
  readonly catalogue: RequestResult<'listCatalogue'> | null;
  /** Its tool, and whether another trial of that has shown figures; null: not known yet. */
  readonly shown: Pick<RequestResult<'getFiguresShown'>, 'toolId' | 'wereFiguresShown'> | null;
  /** Tools for which this operator said "not now" in this session. */
  readonly isPutOff: (toolId: string) => boolean;
  /** The same of any operator, to whom the figures were shown thereupon. */
  readonly isPutOffByAnyone: (toolId: string) => boolean;
}

export function isHandlingAskedFor({ ratesHandlingBlind, operator }: HandlingFacts['settings']): boolean {
  // A rating belongs to somebody.
  return ratesHandlingBlind && operator.trim() !== '';
}

export function handlingQuestion(facts: HandlingFacts): HandlingQuestion {
  const { settings, summary, catalogue, shown } = facts;
  if (!isHandlingAskedFor(settings)) return { state: 'none' };
  if (summary === null || catalogue === null || shown === null) return { state: 'unknown' };
  const { toolId } = shown;
  if (toolId === null) return { state: 'none' };
  const tool = catalogue.tools.find(({ tool: { id } }) => id === toolId);
  // The two answers come one after the other.
  if (tool === undefined) return { state: 'unknown' };
  const { name: toolName } = tool.tool;
  const pulled = { toolId, toolName, sessionId: summary.sessionId };
  const isRated = earlierRating(tool.ratings, settings.operator) !== null;
  if (isRated || facts.isPutOff(toolId)) return { state: 'none' };
  if (roleOf(summary) === 'conditioning') return { ...pulled, state: 'later' };
  const wereFiguresShown =
    shown.wereFiguresShown ||
    // Its own, to another operator who answered while it was in sight.
    facts.isPutOffByAnyone(toolId) ||
    tool.ratings.some(({ at }) => at > summary.startedAt);
  return { ...pulled, state: 'asked', wereFiguresShown };
}

function roleOf({ place }: TrialSummary): Role {
  return place?.role ?? 'counted';
}
