import { CURVE_COLOR_COUNT, curveColorIndex } from '../charts/tool-colour.ts';
import { describeSetup } from '../run-sheet/describe-entry.ts';
import type { TrialSummary } from '../trial/trial-model.ts';

type Named = Pick<TrialSummary, 'step' | 'setup' | 'place'>;

/**
 * What each of a few trials is called beside the others: the tool where that tells them apart, else with its setup, its direction and
 * time, its round, and at last a number.
 */
export function labelTrials(trials: readonly Named[]): string[] {
  let labels = trials.map(({ step }) => step.toolName);
  const finer: ((trial: Named) => string)[] = [
    ({ setup }) => (setup === null ? '' : describeSetup({ ...setup, toolName: '' })),
    ({ step }) => step.direction,
    ({ step }) => `${String(step.plannedS)} s`,
    ({ place }) => (place === null || place.round === 0 ? '' : `run ${String(place.round)}`),
  ];
  for (const describe of finer) {
    if (new Set(labels).size === labels.length) return labels;
    const added = trials.map(describe);
    // What is the same for all of them tells nobody apart.
    if (new Set(added).size === 1) continue;
    labels = labels.map((label, index) => [label, added[index] ?? ''].filter(Boolean).join(', '));
  }
  return labels.map((label, index) => {
    const before = labels.slice(0, index).filter((other) => other === label).length;
    const isAlone = labels.filter((other) => other === label).length === 1;
    return isAlone ? label : `${label} (${String(before + 1)})`;
  });
}

/** Each tool its own colour; where two share it, or a tool is there twice, the later takes the next that is free. */
export function colourTrials(toolNames: readonly string[]): number[] {
  const taken = new Set<number>();
  return toolNames.map((toolName) => {
    let colour = curveColorIndex(toolName);
    for (let tried = 0; taken.has(colour) && tried < CURVE_COLOR_COUNT; tried += 1) {
      colour = (colour + 1) % CURVE_COLOR_COUNT;
    }
    taken.add(colour);
    return colour;
  });
}
