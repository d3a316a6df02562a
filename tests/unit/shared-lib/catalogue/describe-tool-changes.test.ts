import { describe, expect, it } from 'vitest';
import { describeToolChanges } from '../../../../shared-lib/catalogue/describe-tool-changes.ts';
import { demoTool, kitPrice } from './demo-tools.ts';

describe('what changed of a tool', () => {
  const before = demoTool('a', 'Hollin H5', {
    details: { massBareKg: 1.9, prices: [kitPrice()] },
  });

  it('is nothing for the same, whatever the order of its claims and members', () => {
    const { currency, ...rest } = kitPrice();
    const same = { ...before, details: { ...before.details, prices: [{ currency, ...rest }] } };
    expect(describeToolChanges(before, same)).toEqual([]);
  });

  it('is said with what stood there before, without hiding a digit', () => {
    const after = demoTool('a', 'Hollin H5 mk 2', {
      tool: { isArchived: true, declaredVibrationMps2: 12.5 },
      details: {
        massBareKg: 1.905,
        lengthM: 0.1805,
        toolClass: 'impactWrench',
        claims: [{ id: 'c', kind: 'fastening', torqueNm: 1000, source: 'box', statedOn: '2026-01-01' }],
        prices: [kitPrice({ amount: 189.5 }), kitPrice({ id: 'b', kind: 'bare', amount: 99 })],
      },
    });
    expect(describeToolChanges(before, after)).toEqual([
      'Name: “Hollin H5 mk 2” (was “Hollin H5”).',
      'Class: impact wrench (was none).',
      'Length: 180.5\u202fmm (was none).',
      'Bare mass: 1.905\u202fkg (was 1.9\u202fkg).',
      'Declared vibration: 12.5\u202fm/s² (was none).',
      'Claim added: fastening, 1000\u202fN·m (738\u202fft·lbf), box, 2026-01-01.',
      'Price changed: kit, 189.50\u202fEUR, 2026-03-01, shop (was kit, 199\u202fEUR, 2026-03-01, shop).',
      'Price added: bare, 99\u202fEUR, 2026-03-01, shop.',
      'Put away.',
    ]);
    expect(describeToolChanges(after, before)).toContain(
      'Price removed: bare, 99\u202fEUR, 2026-03-01, shop.',
    );
    expect(describeToolChanges(after, before)).toContain('Taken into use again.');
  });
});
