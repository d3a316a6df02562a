import type { Standings, StandingsChange, StandingsInput } from './standings-model.ts';

export interface StandingsState {
  readonly input: StandingsInput;
  readonly standings: Standings;
}

/** What is other in `to` than in `from`, and why. */
export function diffStandings(
  from: StandingsState,
  to: StandingsState,
): { changes: StandingsChange[]; sentences: string[] } {
  void from;
  void to;
  return { changes: [], sentences: [] };
}
