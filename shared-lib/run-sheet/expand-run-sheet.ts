import type { Plan, PlanStep } from './plan-model.ts';
import type { Order, Role, RunSheetDraft, RunSheetEntry } from './run-sheet-model.ts';
import type { SetupAsTested } from './setup-model.ts';
import { roundOrders } from './williams-square.ts';

/** An entry before it is stored. */
export type PlannedEntry = Omit<RunSheetEntry, 'id' | 'state' | 'skipReason' | 'trialIds'>;

/**
 * The pulls of a run sheet in the order in which they are to be made.
 *
 * In a round a setup does all its steps, then the next setup comes. Before the first pull of a setup, the reference too,
 * come its uncounted conditioning pulls by the plan's first step; a tool that warms up in its first pull would look like a
 * drift otherwise. Reference pulls are by the first step: at the start and the end (round 0, numbered on), and in the middle
 * of each round; in blocks, where no round exists in time, between two setups, and of round 0 too.
 *
 * `restS` of an entry is what the pull planned before it with the same setup asks for by its own step. That tells how long
 * the sheet takes; at the bench the pull that really was the last one counts, see `restAfterS`. `setups` are those of the
 * draft, in any order; a missing one is a bug and thrown plainly.
 */
export function expandRunSheet(
  draft: Pick<RunSheetDraft, 'plan' | 'setupIds' | 'order' | 'seed'>,
  setups: readonly SetupAsTested[],
  reference: SetupAsTested | null,
): PlannedEntry[] {
  const { plan, order, seed } = draft;
  const [firstStep] = plan.steps;
  if (firstStep === undefined) throw new RangeError('A plan has at least one step.');
  const listed = draft.setupIds.map((setupId) => {
    const setup = setups.find((candidate) => candidate.setupId === setupId);
    if (setup === undefined) throw new RangeError(`The setup ${setupId} of the draft was not given.`);
    return setup;
  });

  const entries: PlannedEntry[] = [];
  const owedRestS = new Map<string, number>();
  const made = new Map<string, number>();
  const pull = (setup: SetupAsTested, step: PlanStep, role: Role, round: number): void => {
    const { kind, direction, plannedS, preloadNm } = step;
    const key = `${role} ${round} ${plan.steps.findIndex((other) => isSamePull(step, other))} ${setup.setupId}`;
    const repeat = (made.get(key) ?? 0) + 1;
    made.set(key, repeat);
    entries.push({
      setup,
      step: {
        toolName: setup.toolName,
        kind,
        direction,
        plannedS,
        ...(kind === 'breakaway' ? { preloadNm } : {}),
      },
      role,
      round,
      repeat,
      restS: owedRestS.get(setup.setupId) ?? 0,
    });
    owedRestS.set(setup.setupId, step.restS);
  };
  const condition = (setup: SetupAsTested, round: number): void => {
    if (owedRestS.has(setup.setupId)) return;
    for (let count = 0; count < plan.conditioningPulls; count += 1) {
      pull(setup, firstStep, 'conditioning', round);
    }
  };
  const pullReference = (count: number, round: number): void => {
    if (reference === null || count === 0) return;
    condition(reference, round);
    for (let index = 0; index < count; index += 1) pull(reference, firstStep, 'reference', round);
  };
  const pullAllSteps = (setup: SetupAsTested, round: number): void => {
    condition(setup, round);
    for (const step of plan.steps) {
      for (let index = 0; index < step.repeats; index += 1) pull(setup, step, 'counted', round);
    }
  };

  const orders = roundOrders(listed.length, plan.rounds, order, seed);
  pullReference(plan.reference?.atStart ?? 0, 0);
  if (order === 'blocks') {
    for (const [place, index] of (orders[0] ?? []).entries()) {
      const setup = listed[index];
      if (setup === undefined) continue;
      if (place > 0) pullReference(plan.reference?.perRound ?? 0, 0);
      for (let round = 1; round <= plan.rounds; round += 1) pullAllSteps(setup, round);
    }
  } else {
    for (const [roundIndex, indices] of orders.entries()) {
      for (const [place, index] of indices.entries()) {
        const setup = listed[index];
        if (setup === undefined) continue;
        if (place === Math.floor(indices.length / 2)) {
          pullReference(plan.reference?.perRound ?? 0, roundIndex + 1);
        }
        pullAllSteps(setup, roundIndex + 1);
      }
    }
  }
  pullReference(plan.reference?.atEnd ?? 0, 0);
  return entries;
}

/**
 * The rest in s that the pull of an entry asks for until the next one with the same setup: that of its own step in the plan,
 * of the plan's first step for conditioning and reference pulls. An entry that is none of the plan asks for its longest rest.
 */
export function restAfterS(
  { step, role, repeat }: Pick<RunSheetEntry, 'step' | 'role' | 'repeat'>,
  { steps }: Pick<Plan, 'steps'>,
): number {
  const pulled = { ...step, preloadNm: step.preloadNm ?? null };
  const own = role === 'counted' ? steps.filter((other) => isSamePull(other, pulled)) : steps.slice(0, 1);
  if (own.length === 0) return Math.max(...steps.map(({ restS }) => restS));
  // Where a step stands in the plan twice, its repeats are numbered on.
  const places = own.flatMap(({ repeats, restS }) => Array.from({ length: repeats }, () => restS));
  return places[Math.min(repeat, places.length) - 1] ?? 0;
}

/** How many pulls expandRunSheet makes of it, without making them. */
export function countPulls(
  { plan, order }: Pick<RunSheetDraft, 'plan' | 'order'>,
  setupCount: number,
  reference: 'none' | 'tested' | 'apart',
): number {
  const { steps, rounds, conditioningPulls } = plan;
  const counted = setupCount * rounds * steps.reduce((sum, { repeats }) => sum + repeats, 0);
  const { atStart, perRound, atEnd } = plan.reference ?? { atStart: 0, perRound: 0, atEnd: 0 };
  const referencePulls =
    reference === 'none' ? 0 : atStart + atEnd + perRound * (order === 'blocks' ? setupCount - 1 : rounds);
  const conditioned = setupCount + (reference === 'apart' && referencePulls > 0 ? 1 : 0);
  return counted + referencePulls + conditioned * conditioningPulls;
}

type PulledStep = Pick<PlanStep, 'kind' | 'direction' | 'plannedS' | 'preloadNm'>;

/** Whether two steps of a plan are pulled alike, so that their pulls are numbered on. */
export function isSamePull(a: PulledStep, b: PulledStep): boolean {
  return (
    a.kind === b.kind &&
    a.direction === b.direction &&
    a.plannedS === b.plannedS &&
    a.preloadNm === b.preloadNm
  );
}

/** What the chosen order protects against, and what not, in plain words. */
export function protectsSentence(order: Order, setupCount: number): string {
  if (setupCount < 2) {
    return 'With one setup there is nothing to put in order; a reference tool is the only thing that tells a drift from a change of the tool.';
  }
  switch (order) {
    case 'rounds':
      return setupCount === 2
        ? 'The two setups swap places from round to round (ABBA), so a steady drift of bench, rig or operator falls on both alike after each even number of rounds. It does not protect against a jump in the middle of a round, nor against a tool or pack that changes by itself.'
        : `Every setup comes once in each round, and over ${setupCount % 2 === 0 ? setupCount : 2 * setupCount} rounds stands equally often in each place and straight after each other one. A steady drift falls on all alike after ${setupCount} rounds, and what one tool leaves behind on rig or fastener is shared out. It does not protect against a jump in the middle of a round, nor against a tool or pack that changes by itself.`;
    case 'blocks':
      return 'All pulls of a setup come in one row, which saves changing tools; which setup comes first is drawn. A drift of the bench over the day looks just like a difference between tools here, and repeats in one row are not independent of each other. Only a reference tool shows such a drift.';
    case 'asListed':
      return 'Every round goes through the list from top to bottom, so a slow drift over the day is mostly shared. Within each round the lower setups always come later and always after the same one: what happens in a round (warming, wear of the fastener, a tired hand) always counts against the same tools.';
  }
}
