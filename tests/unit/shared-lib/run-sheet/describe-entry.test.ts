import { describe, expect, it } from 'vitest';
import { THIN_SPACE } from '../../../../shared-lib/format-quantity.ts';
import { describeEntry, describeSetup } from '../../../../shared-lib/run-sheet/describe-entry.ts';
import type { RunSheetEntry } from '../../../../shared-lib/run-sheet/run-sheet-model.ts';
import { demoPlan, hollin, planStep, tarnwick } from './demo-setups.ts';

type Entry = Pick<RunSheetEntry, 'setup' | 'step' | 'role' | 'round' | 'repeat'>;
const entry = (change: Partial<Entry> = {}): Entry => ({
  setup: hollin,
  step: { toolName: 'Hollin H5', kind: 'tighten', direction: 'forward', plannedS: 5 },
  role: 'counted',
  round: 2,
  repeat: 1,
  ...change,
});
const reverse = { toolName: 'Hollin H5', kind: 'tighten', direction: 'reverse', plannedS: 15 } as const;

describe('a setup in words', () => {
  it('is its tool and its pack, and what else there is', () => {
    expect(describeSetup(hollin)).toBe('Hollin H5, pack 2');
    expect(describeSetup(tarnwick)).toBe('Tarnwick T6');
    expect(
      describeSetup({
        ...hollin,
        setting: 'step 3',
        socket: { name: '24 mm socket', massKg: 0.3, lengthM: null },
      }),
    ).toBe('Hollin H5, pack 2, step 3, 24 mm socket');
  });
});

describe('the next pull in words', () => {
  it('reads as on the Bench', () => {
    expect(describeEntry(entry(), { rounds: 3 })).toBe('Hollin H5, pack 2, forward, run 2 of 3');
  });

  it('names the kind where it is not the usual one', () => {
    const step = { ...reverse, kind: 'breakaway', preloadNm: 300 } as const;
    expect(describeEntry(entry({ step }), { rounds: 3 })).toBe(
      'Hollin H5, pack 2, breakaway reverse, run 2 of 3',
    );
  });

  it('tells two steps of one direction apart by their time, given the plan', () => {
    const steps = [
      planStep(),
      planStep({ direction: 'reverse', plannedS: 10 }),
      planStep({ direction: 'reverse', plannedS: 15 }),
    ];
    const plan = demoPlan({ steps });
    expect(describeEntry(entry({ step: reverse }), plan)).toBe(
      `Hollin H5, pack 2, reverse 15${THIN_SPACE}s, run 2 of 3`,
    );
    expect(describeEntry(entry(), plan)).toBe('Hollin H5, pack 2, forward, run 2 of 3');
  });

  it('says which repeat it is, and of how many where the plan is given', () => {
    expect(describeEntry(entry({ repeat: 2 }), { rounds: 3 })).toBe(
      'Hollin H5, pack 2, forward, run 2 of 3, repeat 2',
    );
    expect(describeEntry(entry(), demoPlan({ steps: [planStep({ repeats: 4 })] }))).toBe(
      'Hollin H5, pack 2, forward, run 2 of 3, repeat 1 of 4',
    );
  });

  it('declares pulls that do not count', () => {
    const words = (change: Partial<Entry>): string =>
      describeEntry(entry({ setup: tarnwick, ...change }), { rounds: 3 });
    expect(words({ role: 'conditioning' })).toBe('Tarnwick T6, forward, conditioning pull');
    expect(words({ role: 'conditioning', repeat: 2 })).toBe('Tarnwick T6, forward, conditioning pull 2');
    expect(words({ role: 'reference', round: 0, repeat: 4 })).toBe('Tarnwick T6, forward, reference pull 4');
    expect(words({ role: 'reference' })).toBe('Tarnwick T6, forward, reference pull, round 2');
    expect(words({ role: 'reference', repeat: 2 })).toBe('Tarnwick T6, forward, reference pull 2, round 2');
  });
});
