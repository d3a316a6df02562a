import type {
  CatalogueTool,
  HandlingRating,
  Price,
  ToolDetails,
} from '../../../../shared-lib/catalogue/catalogue-model.ts';
import { noDetails } from '../../../../shared-lib/catalogue/tool-entry.ts';
import type { Tool } from '../../../../shared-lib/run-sheet/setup-model.ts';

/** Invented tools, as the catalogue has them. */
export function demoTool(
  id: string,
  name: string,
  changes: {
    readonly tool?: Partial<Tool>;
    readonly details?: Partial<ToolDetails>;
    readonly ratings?: readonly HandlingRating[];
    readonly mergedIntoToolId?: string;
  } = {},
): CatalogueTool {
  return {
    tool: {
      id,
      name,
      supply: 'battery',
      declaredVibrationMps2: null,
      declaredNoiseDbA: null,
      isArchived: false,
      ...changes.tool,
    },
    details: { ...noDetails, ...changes.details },
    photos: [],
    ratings: [...(changes.ratings ?? [])],
    mergedIntoToolId: changes.mergedIntoToolId ?? null,
    setupCount: 0,
    trialCount: 0,
    missing: [],
  };
}

export function kitPrice(changes: Partial<Price> = {}): Price {
  return {
    id: 'price-1',
    kind: 'kit',
    amount: 199,
    currency: 'EUR',
    on: '2026-03-01',
    source: 'shop',
    ...changes,
  };
}

export function rating(rater: string, score: number, toolId = 'hollin'): HandlingRating {
  return { id: 1, toolId, rater, score, isBlind: true, note: '', at: '2026-03-01T10:00:00.000Z' };
}
