import { describe, expect, it } from 'vitest';
import { withUnitNamed } from '../../../../shared-lib/format-quantity.ts';
import type { TorqueUnit } from '../../../../shared-lib/api-contract.ts';
import { typedFor } from '../../../../renderer/ui/use-typed-in-unit.ts';

const named = (typed: string, unit: TorqueUnit) =>
  withUnitNamed(typed, 'torque', unit).replace('\u202f', ' ');
const typedIn = (unit: TorqueUnit) => ({ typed: '200', unit });

describe('a number that was typed without a unit', () => {
  it('stands as it was typed for as long as its unit is the one that is shown', () => {
    expect(typedFor<string, TorqueUnit>(typedIn('Nm'), 'Nm', named)).toBe('200');
  });

  it('takes the unit with it that it was typed in, once another one is shown', () => {
    expect(typedFor<string, TorqueUnit>(typedIn('Nm'), 'ftLbf', named)).toBe('200 N·m');
    expect(typedFor<string, TorqueUnit>(typedIn('ftLbf'), 'Nm', named)).toBe('200 ft·lbf');
  });
});
