import type { RequestResult } from '../../shared-lib/api-contract.ts';
import type {
  CatalogueTool,
  HandlingRating,
  ToolDetails,
} from '../../shared-lib/catalogue/catalogue-model.ts';

/** Ready-made tools for tests of the window; all invented (demo). */
export const noToolDetails: ToolDetails = {
  maker: '',
  model: '',
  toolClass: null,
  driveSize: null,
  lengthM: null,
  massBareKg: null,
  massLoadedKg: null,
  claims: [],
  prices: [],
  note: '',
};

export function demoTool(
  id: string,
  name: string,
  change: Partial<Omit<CatalogueTool, 'tool' | 'details'>> & {
    readonly tool?: Partial<CatalogueTool['tool']>;
    readonly details?: Partial<ToolDetails>;
  } = {},
): CatalogueTool {
  const { tool, details, ...rest } = change;
  return {
    tool: {
      id,
      name,
      supply: 'battery',
      declaredVibrationMps2: null,
      declaredNoiseDbA: null,
      isArchived: false,
      ...tool,
    },
    details: { ...noToolDetails, ...details },
    photos: [],
    ratings: [],
    mergedIntoToolId: null,
    setupCount: 0,
    trialCount: 0,
    missing: [],
    ...rest,
  };
}

export function demoRating(toolId: string, rater: string, score: number, isBlind = true): HandlingRating {
  return { id: 1, toolId, rater, score, isBlind, note: '', at: '2026-01-10T09:00:00.000Z' };
}

export function demoCatalogue(tools: readonly CatalogueTool[]): RequestResult<'listCatalogue'> {
  return {
    tools: [...tools],
    likelyTwins: [],
    agreement: {
      raters: [],
      toolCount: 0,
      icc: null,
      meanDifference: null,
      sentence: 'Nobody has rated yet.',
    },
  };
}
