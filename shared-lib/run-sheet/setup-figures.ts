import type { Distributions } from '../calibration/distributions.ts';
import type { Step } from '../trial/step-model.ts';
import type { Quality, TrialSummary } from '../trial/trial-model.ts';
import type { Role } from './run-sheet-model.ts';
import type { QualityGate, SetupFigures } from './session-model.ts';

/** A trial as the statistics of a session see it. */
export interface TrialOfSetup {
  /** Null: a trial outside of a run sheet, known by its label only. */
  readonly setupId: string | null;
  readonly label: string;
  readonly step: Step;
  /** Null: outside of a run sheet; it counts. */
  readonly role: Role | null;
  /** Null: not evaluated. */
  readonly verdict: Quality['verdict'] | null;
  readonly isKept: boolean;
  readonly isVoided: boolean;
  readonly sustainedTorqueNm: number | null;
  readonly startedAt: string;
  /** Number of the unbroken row of pulls with one setup that it stands in: see numberBlocks. */
  readonly block: number;
}

/** Whether a kept trial of this verdict goes into statistics; one that was never judged does not. */
export function passesGate(gate: QualityGate, verdict: Quality['verdict'] | null): boolean {
  switch (gate) {
    case 'goodOnly':
      return verdict === 'good';
    case 'goodAndLook':
      return verdict === 'good' || verdict === 'look';
    case 'allKept':
      return verdict !== null;
  }
}

/** What a failed check made unusable counts as never judged: no gate lets it in. */
export function verdictInStatistics({
  qualityVerdict,
  suspicion,
}: Pick<TrialSummary, 'qualityVerdict' | 'suspicion'>): TrialSummary['qualityVerdict'] {
  return suspicion?.decision === 'excluded' ? null : qualityVerdict;
}

/** For trials in the order in which they were pulled: the number of the unbroken row with one setup that each stands in. */
export function numberBlocks(setups: readonly (string | null)[]): number[] {
  let block = 0;
  return setups.map((setup, index) => {
    if (index > 0 && setup !== setups[index - 1]) block += 1;
    return block;
  });
}

/**
 * The figures of each setup and step of a session, in the order in which they were first pulled; the reference pulls of a
 * setup stand in a row of their own.
 *
 * Mean and standard deviation (n - 1) of the sustained torque of the trials that are kept, not voided, counted and let in by
 * the gate, with the 95 % interval of the mean by Student's t, which takes the trials for independent: `isOneBlock` says
 * that they are not. A trial without a sustained torque is left out, but of a breakaway, where it is no result: those are
 * counted and have no mean.
 */
export function setupFigures(
  trials: readonly TrialOfSetup[],
  gate: QualityGate,
  distributions: Distributions,
): SetupFigures[] {
  const groups = new Map<string, TrialOfSetup[]>();
  // Instants of one form, in universal time: their text sorts as they do.
  const inOrder = trials.toSorted((a, b) =>
    a.startedAt < b.startedAt ? -1 : a.startedAt > b.startedAt ? 1 : 0,
  );
  for (const trial of inOrder) {
    const { kind, direction, plannedS, preloadNm } = trial.step;
    const key = JSON.stringify([
      trial.setupId ?? ['by label', trial.label],
      kind,
      direction,
      plannedS,
      preloadNm ?? null,
      trial.role === 'reference',
    ]);
    const group = groups.get(key);
    if (group === undefined) groups.set(key, [trial]);
    else group.push(trial);
  }
  return [...groups.values()].flatMap((group) => figuresOf(group, gate, distributions) ?? []);
}

function figuresOf(
  group: readonly TrialOfSetup[],
  gate: QualityGate,
  distributions: Distributions,
): SetupFigures | null {
  // Named as it is now: a setup that was put right keeps nothing of its wrong name.
  const newest = group.at(-1);
  if (newest === undefined) return null;
  const isBreakaway = newest.step.kind === 'breakaway';
  const kept = group.filter(({ isKept, isVoided }) => isKept && !isVoided);
  const counted = kept.filter(({ role }) => role !== 'conditioning');
  const letIn = counted.filter(
    ({ verdict, sustainedTorqueNm }) =>
      passesGate(gate, verdict) && (isBreakaway || sustainedTorqueNm !== null),
  );
  const [first] = letIn;
  const torquesNm = isBreakaway ? [] : letIn.flatMap(({ sustainedTorqueNm }) => sustainedTorqueNm ?? []);
  const mean = meanWithInterval(torquesNm, distributions);
  return {
    label: newest.role === 'reference' ? `${newest.label}, reference` : newest.label,
    setupId: newest.setupId,
    step: newest.step,
    count: letIn.length,
    leftOutCount: counted.length - letIn.length,
    conditioningCount: kept.length - counted.length,
    voidedCount: group.filter(({ isVoided }) => isVoided).length,
    ...mean,
    isOneBlock: letIn.length > 1 && letIn.every(({ block }) => block === first?.block),
  };
}

function meanWithInterval(
  valuesNm: readonly number[],
  distributions: Distributions,
): Pick<SetupFigures, 'meanNm' | 'standardDeviationNm' | 'lowNm' | 'highNm'> {
  const count = valuesNm.length;
  if (count === 0) return { meanNm: null, standardDeviationNm: null, lowNm: null, highNm: null };
  const meanNm = valuesNm.reduce((sum, value) => sum + value, 0) / count;
  if (count === 1) return { meanNm, standardDeviationNm: null, lowNm: null, highNm: null };
  const squares = valuesNm.reduce((sum, value) => sum + (value - meanNm) ** 2, 0);
  const standardDeviationNm = Math.sqrt(squares / (count - 1));
  const halfNm = (distributions.studentTQuantile(0.975, count - 1) * standardDeviationNm) / Math.sqrt(count);
  return { meanNm, standardDeviationNm, lowNm: meanNm - halfNm, highNm: meanNm + halfNm };
}
