import type { Sensitivity, Standings, StandingsInput } from './standings-model.ts';

/** What a factor would have to be for the order to change. */
export function computeSensitivity(
  input: StandingsInput,
  standings: Standings,
  { seed, weightingCount }: { readonly seed: number; readonly weightingCount: number },
): Sensitivity {
  void input;
  void standings;
  return { terms: [], firstShares: [], weightingCount, seed, sentences: [] };
}
