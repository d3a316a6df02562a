import type { TrialSummary } from '../../../shared-lib/trial/trial-model.ts';

/** As many curves as can be told apart in one picture. */
export const MOST_REPLAYED = 5;

/** What is replayed until somebody chooses: of each tool the newest run that counts, the newest tools first. */
export function usualChoice(trials: readonly TrialSummary[]): string[] {
  const counting = trials.filter(counts);
  const newest = counting[0];
  if (newest === undefined) return trials.slice(0, 1).map(({ id }) => id);
  // A replay side by side is of pulls that ask the same of each tool.
  const alike = counting.filter(
    ({ step }) =>
      step.kind === newest.step.kind &&
      step.direction === newest.step.direction &&
      step.plannedS === newest.step.plannedS,
  );
  const ofTools = [...Map.groupBy(alike, ({ step }) => step.toolName).values()].flatMap(
    ([first]) => first ?? [],
  );
  return ofTools.slice(0, MOST_REPLAYED).map(({ id }) => id);
}

/** Not what was voided, left out after a failed check, or pulled to warm the tool up: a film of it would show what no figure rests on. */
function counts({ isVoided, suspicion, place }: TrialSummary): boolean {
  return !isVoided && suspicion?.decision !== 'excluded' && place?.role !== 'conditioning';
}

/** The choice with one more or less, in the order of the list; never more than can be told apart. */
export function toggled(chosen: readonly string[], trialId: string): readonly string[] {
  if (chosen.includes(trialId)) return chosen.filter((id) => id !== trialId);
  return chosen.length < MOST_REPLAYED ? [...chosen, trialId] : chosen;
}
