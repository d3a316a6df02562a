import { describe, expect, it } from 'vitest';
import type { Plan } from '../../../../shared-lib/run-sheet/plan-model.ts';
import {
  countPulls,
  expandRunSheet,
  protectsSentence,
  type PlannedEntry,
  restAfterS,
} from '../../../../shared-lib/run-sheet/expand-run-sheet.ts';
import { readyMadePlans } from '../../../../shared-lib/run-sheet/ready-made-plans.ts';
import { planSchema } from '../../../../shared-lib/run-sheet/plan-model.ts';
import type { Order } from '../../../../shared-lib/run-sheet/run-sheet-model.ts';
import type { SetupAsTested } from '../../../../shared-lib/run-sheet/setup-model.ts';
import {
  BESIDE_THE_PULL_S,
  CHANGE_SETUP_S,
  NEXT_PULL_S,
  pullEndsS,
  sheetDurationS,
  UNLOADING_S,
} from '../../../../shared-lib/run-sheet/sheet-duration.ts';
import { brindlow, corvane, demoPlan, hollin, planStep, tarnwick } from './demo-setups.ts';

function expand(
  plan: Plan,
  setups: readonly SetupAsTested[],
  { order = 'rounds', reference = null }: { order?: Order; reference?: SetupAsTested | null } = {},
): PlannedEntry[] {
  return expandRunSheet(
    { plan, setupIds: setups.map(({ setupId }) => setupId), order, seed: 7 },
    setups,
    reference,
  );
}
const fullSet = readyMadePlans.find(({ name }) => name === 'Full set') ?? demoPlan();
const threeTools = [hollin, tarnwick, brindlow];
const counted = (entries: readonly PlannedEntry[]) => entries.filter(({ role }) => role === 'counted');
/** "H1 H1 T1": the tool's first letter and the round of each pull. */
const inShort = (entries: readonly PlannedEntry[]): string =>
  entries
    .map(({ setup, role, round, repeat }) => {
      const mark = { counted: '', conditioning: 'c', reference: 'r' }[role];
      return `${setup.toolName[0] ?? '?'}${mark}${round}.${repeat}`;
    })
    .join(' ');

describe('a run sheet of three tools, three steps and three rounds', () => {
  const entries = expand(fullSet, threeTools, { reference: corvane });

  it('has 27 counted pulls in nine blocks, in each of which a tool does all its steps (J4)', () => {
    const pulls = counted(entries);
    expect(pulls).toHaveLength(27);
    const blocks = pulls.filter(
      ({ setup, round }, index) =>
        pulls[index - 1]?.setup.setupId !== setup.setupId || pulls[index - 1]?.round !== round,
    );
    expect(blocks).toHaveLength(9);
    const steps = pulls.slice(3, 6).map(({ step }) => [step.direction, step.plannedS]);
    expect(steps).toEqual([
      ['forward', 5],
      ['reverse', 10],
      ['reverse', 15],
    ]);
    for (const round of [1, 2, 3]) {
      expect(pulls.filter((pull) => pull.round === round)).toHaveLength(9);
    }
  });

  it('conditions each tool once, uncounted and by the first step, straight before its first pull', () => {
    const conditioning = entries.filter(({ role }) => role === 'conditioning');
    expect(conditioning.map(({ setup }) => setup.toolName).toSorted()).toEqual([
      'Brindlow B4',
      'Corvane C8',
      'Hollin H5',
      'Tarnwick T6',
    ]);
    for (const pull of conditioning) {
      const first = entries.findIndex(({ setup }) => setup.setupId === pull.setup.setupId);
      expect(entries[first]).toBe(pull);
      expect(entries[first + 1]?.setup.setupId).toBe(pull.setup.setupId);
      expect(pull.step).toMatchObject({ direction: 'forward', plannedS: 5 });
    }
  });

  it('pulls the reference three times at the start, once in the middle of each round and three times at the end', () => {
    const reference = entries.filter(({ role }) => role === 'reference');
    expect(reference.map(({ round, repeat }) => [round, repeat])).toEqual([
      [0, 1],
      [0, 2],
      [0, 3],
      [1, 1],
      [2, 1],
      [3, 1],
      [0, 4],
      [0, 5],
      [0, 6],
    ]);
    const roundTwo = entries.filter(({ round }) => round === 2).map(({ role }) => role);
    expect(roundTwo.indexOf('reference')).toBe(3);
    expect(entries.at(-1)?.role).toBe('reference');
  });

  it('leaves the rest with the pull that comes after it, by the step before it', () => {
    const steps = [planStep({ restS: 60 }), planStep({ direction: 'reverse', plannedS: 10, restS: 120 })];
    const pulls = expand(demoPlan({ steps, rounds: 2 }), [hollin, tarnwick]);
    const restsOf = (toolName: string) =>
      pulls.filter(({ setup }) => setup.toolName === toolName).map(({ restS }) => restS);
    expect(restsOf('Hollin H5')).toEqual([0, 60, 120, 60]);
    expect(restsOf('Tarnwick T6')).toEqual([0, 60, 120, 60]);
  });

  it('asks after each pull for the rest of its own step, which is what the next one was planned with', () => {
    const steps = [
      planStep({ restS: 60, repeats: 2 }),
      planStep({ kind: 'breakaway', direction: 'reverse', preloadNm: 400, restS: 120 }),
      planStep({ kind: 'breakaway', direction: 'reverse', preloadNm: 500, restS: 180 }),
      // The first one again, with another rest.
      planStep({ restS: 240 }),
    ];
    const plan = demoPlan({
      steps,
      rounds: 2,
      conditioningPulls: 1,
      reference: { atStart: 1, perRound: 1, atEnd: 1 },
    });
    for (const pulls of [
      expand(plan, [hollin, tarnwick], { reference: corvane }),
      expand(plan, [hollin, tarnwick], { reference: hollin, order: 'blocks' }),
    ]) {
      const asked = new Map<string, number>();
      for (const pull of pulls) {
        expect(pull.restS).toBe(asked.get(pull.setup.setupId) ?? 0);
        asked.set(pull.setup.setupId, restAfterS(pull, plan));
      }
    }
  });

  it('asks for the longest rest of the plan after a pull that is none of its own', () => {
    const { steps } = demoPlan({ steps: [planStep({ restS: 60 }), planStep({ plannedS: 10, restS: 120 })] });
    const step = { toolName: 'Hollin H5', kind: 'tighten', direction: 'forward', plannedS: 7 } as const;
    expect(restAfterS({ step, role: 'counted', repeat: 1 }, { steps })).toBe(120);
  });

  it('never gives two pulls the same place', () => {
    const places = entries.map(({ setup, step, role, round, repeat }) =>
      JSON.stringify([setup.setupId, step, role, round, repeat]),
    );
    expect(new Set(places).size).toBe(entries.length);
  });

  it('goes on with the numbers where a plan has the same step twice', () => {
    const steps = [planStep({ repeats: 2 }), planStep({ repeats: 1, restS: 10 })];
    expect(inShort(expand(demoPlan({ steps, rounds: 1 }), [hollin]))).toBe('H1.1 H1.2 H1.3');
  });
});

describe('the other orders', () => {
  it('pulls a tool through all rounds in blocks, with the reference between two tools', () => {
    const plan = demoPlan({ rounds: 2, reference: { atStart: 1, perRound: 1, atEnd: 1 } });
    const sheet = inShort(expand(plan, [hollin, tarnwick], { order: 'blocks', reference: corvane }));
    expect(['Cr0.1 H1.1 H2.1 Cr0.2 T1.1 T2.1 Cr0.3', 'Cr0.1 T1.1 T2.1 Cr0.2 H1.1 H2.1 Cr0.3']).toContain(
      sheet,
    );
  });

  it('goes through the list in each round as listed', () => {
    expect(inShort(expand(demoPlan({ rounds: 2 }), threeTools, { order: 'asListed' }))).toBe(
      'H1.1 T1.1 B1.1 H2.1 T2.1 B2.1',
    );
  });

  it('conditions a reference tool that is tested too only once', () => {
    const plan = demoPlan({
      rounds: 1,
      conditioningPulls: 1,
      reference: { atStart: 1, perRound: 0, atEnd: 1 },
    });
    expect(inShort(expand(plan, [hollin], { reference: hollin }))).toBe('Hc0.1 Hr0.1 H1.1 Hr0.2');
  });

  it.each(['rounds', 'blocks', 'asListed'] as const)(
    'says in a sentence what %s protects against, and what not',
    (order) => {
      expect(protectsSentence(order, 3)).toMatch(/drift/);
      expect(protectsSentence(order, 3)).not.toBe(protectsSentence(order, 1));
    },
  );

  it('says that blocks confound a drift with the tools, and that ABBA does not', () => {
    expect(protectsSentence('blocks', 2)).toContain('looks just like a difference between tools');
    expect(protectsSentence('rounds', 2)).toContain('ABBA');
  });
});

describe('steps of a sheet', () => {
  it('carry a preload only for a breakaway, also one that is not known', () => {
    const steps = [
      planStep({ kind: 'breakaway', direction: 'reverse', preloadNm: 300 }),
      planStep({ kind: 'breakaway', direction: 'reverse', preloadNm: null }),
      planStep(),
    ];
    const made = expand(demoPlan({ steps, rounds: 1 }), [hollin]).map(({ step }) => step);
    expect(made.map((step) => ('preloadNm' in step ? step.preloadNm : 'none'))).toEqual([300, null, 'none']);
  });

  it('are refused where a setup of the draft is not given', () => {
    expect(() =>
      expandRunSheet({ plan: demoPlan(), setupIds: ['gone'], order: 'rounds', seed: 0 }, [hollin], null),
    ).toThrow(RangeError);
  });
});

describe('the number of pulls and the time', () => {
  const plans = [
    ...readyMadePlans,
    demoPlan({ steps: [planStep({ repeats: 3 }), planStep({ repeats: 2 })], conditioningPulls: 2 }),
    demoPlan({ conditioningPulls: 1, reference: { atStart: 0, perRound: 0, atEnd: 0 } }),
  ];
  const references = [
    ['none', null],
    ['tested', hollin],
    ['apart', corvane],
  ] as const;

  it.each(['rounds', 'blocks', 'asListed'] as const)(
    'is counted without laying out the sheet, in %s',
    (order) => {
      for (const plan of plans) {
        for (const [reference, setup] of references) {
          const made = expand(plan, threeTools, { order, reference: setup });
          expect(countPulls({ plan, order }, 3, reference)).toBe(made.length);
        }
      }
    },
  );

  it('counts a pull with countdown 3.5 s, tail 1 s and handling, and the rest as far as nobody else pulls in it', () => {
    const beside = 3.5 + 5 + 1 + UNLOADING_S;
    const alone = expand(demoPlan({ rounds: 2, steps: [planStep({ restS: 90 })] }), [hollin]);
    // The rest runs from the end of the pull, before the tail.
    expect(sheetDurationS(alone)).toBeCloseTo(CHANGE_SETUP_S + 3.5 + 5 + 90 + beside, 9);
    const unrested = expand(demoPlan({ rounds: 2, steps: [planStep({ restS: 0 })] }), [hollin]);
    expect(sheetDurationS(unrested)).toBeCloseTo(CHANGE_SETUP_S + beside + NEXT_PULL_S + beside, 9);
    expect(BESIDE_THE_PULL_S).toBeCloseTo(NEXT_PULL_S + beside - 5, 9);
    const listed = expand(demoPlan({ rounds: 2 }), threeTools, { order: 'asListed' });
    expect(sheetDurationS(listed)).toBeCloseTo(6 * (CHANGE_SETUP_S + beside), 9);
    expect(sheetDurationS([])).toBe(0);
  });

  it('lets every pull wait for the rest of its setup', () => {
    const entries = expand(fullSet, [hollin, tarnwick], { reference: corvane });
    const endsS = pullEndsS(entries);
    const lastEndS = new Map<string, number>();
    for (const [index, { setup, step, restS }] of entries.entries()) {
      const endS = endsS[index] ?? NaN;
      const before = lastEndS.get(setup.setupId);
      if (before !== undefined) expect(endS - step.plannedS - before).toBeGreaterThanOrEqual(restS);
      lastEndS.set(setup.setupId, endS);
    }
  });
});

describe('the ready-made plans', () => {
  it('are four, named by what they do, and hold to the schema', () => {
    expect(readyMadePlans.map(({ name }) => name)).toEqual([
      'Forward 5 s',
      'Reverse 10 s',
      'Reverse 15 s',
      'Full set',
    ]);
    expect(new Set(readyMadePlans.map(({ id }) => id)).size).toBe(4);
    for (const plan of readyMadePlans) {
      expect(planSchema.parse(plan)).toEqual(plan);
      expect(plan).toMatchObject({ conditioningPulls: 1, rounds: 3, roundsToPublish: 5 });
      expect(plan.reference).toEqual({ atStart: 3, perRound: 1, atEnd: 3 });
      for (const { restS } of plan.steps) expect(restS).toBe(90);
    }
  });

  it.each([
    ['a time of zero', { steps: [planStep({ plannedS: 0 })] }],
    ['a negative rest', { steps: [planStep({ restS: -1 })] }],
    ['no step', { steps: [] }],
    ['no round', { rounds: 0 }],
    ['a preload of zero', { steps: [planStep({ kind: 'breakaway', preloadNm: 0 })] }],
  ])('stand beside plans that the schema refuses: %s', (_, change) => {
    expect(planSchema.safeParse(demoPlan(change)).success).toBe(false);
  });
});
