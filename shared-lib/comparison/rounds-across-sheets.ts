import type { PulledTrial } from './pulled-trial.ts';

/**
 * The rounds of trials with those of several run sheets in one session counted through, by trial: the first round of the second
 * sheet is another one than that of the first. Trials outside of rounds are left out.
 */
export function numberRoundsAcrossSheets(scores: readonly PulledTrial[]): ReadonlyMap<string, number> {
  const numbered = new Map<string, number>();
  for (const ofSession of Map.groupBy(scores, ({ sessionId }) => sessionId).values()) {
    let before = 0;
    for (const [runSheetId, ofSheet] of Map.groupBy(ofSession, (score) => score.runSheetId)) {
      if (runSheetId === null) continue;
      const inRounds = ofSheet.flatMap(({ trialId, round }) =>
        round === null || round === 0 ? [] : [{ trialId, round }],
      );
      for (const { trialId, round } of inRounds) numbered.set(trialId, before + round);
      before += Math.max(0, ...inRounds.map(({ round }) => round));
    }
  }
  return numbered;
}
