import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import {
  type AddressedChoice,
  choiceParams,
  compareAddress,
  readChoice,
  readMeasureKey,
  readStepKey,
  stepKey,
} from '../../../../renderer/compare/compare-address.ts';
import { measureKey } from '../../../../shared-lib/comparison/measure-key.ts';
import type { TrialMeasure } from '../../../../shared-lib/comparison/trial-measure.ts';
import { forward5 } from './compare-samples.ts';

const measures: readonly TrialMeasure[] = [
  { figure: 'sustainedTorque' },
  { figure: 'finalTorque' },
  { figure: 'torqueAt', atS: 15 },
  { figure: 'timeTo90Percent' },
  { figure: 'timeToLevel', levelNm: 101.686 },
  { figure: 'stallTorque' },
  { figure: 'releasedPreload' },
  { figure: 'lastTorque' },
];

describe('the address of a comparison', () => {
  it('gives back everything that was put into it, whatever the names and numbers', () => {
    const choice = fc.record<AddressedChoice>({
      step: fc.option(
        fc.record({
          kind: fc.constantFrom('tighten', 'breakaway', 'stall', 'endurance'),
          direction: fc.constantFrom('forward', 'reverse'),
          plannedS: fc.double({ min: 0.5, max: 3600, noNaN: true }),
        }),
      ),
      a: fc.option(fc.string({ unit: 'grapheme', maxLength: 60 }).map((name) => `name:${name}x`)),
      b: fc.option(fc.uuid().map((id) => `setup:${id}`)),
      measure: fc.option(fc.constantFrom(...measures)),
      sessionIds: fc.option(fc.array(fc.uuid(), { minLength: 1, maxLength: 5 })),
      isForced: fc.boolean(),
    });
    fc.assert(
      fc.property(choice, (whole) => {
        const params = new URLSearchParams(choiceParams(whole).toString());
        expect(readChoice(params)).toEqual(whole);
      }),
    );
  });

  it('takes what was typed by hand and means nothing as left out', () => {
    const params = new URLSearchParams(
      'step=hammer.forward.5&a=&b=x&measure=torqueAt.4&session=&forced=true',
    );
    expect(readChoice(params)).toEqual({
      step: null,
      a: null,
      b: null,
      measure: null,
      sessionIds: null,
      isForced: false,
    });
    for (const text of [
      '',
      'tighten',
      'tighten.forward',
      'tighten.forward.',
      'tighten.forward.x',
      'tighten.up.5',
    ])
      expect(readStepKey(text)).toBeNull();
    for (const text of ['', 'torqueAt', 'timeToLevel.0', 'timeToLevel.-5', 'sustainedTorque.5', 'peakTorque'])
      expect(readMeasureKey(text)).toBeNull();
  });

  it('is short and can be read: a step of half a second, an instant, a level', () => {
    expect(stepKey({ ...forward5, plannedS: 0.5 })).toBe('tighten.forward.0.5');
    expect(measureKey({ figure: 'torqueAt', atS: 5 })).toBe('torqueAt.5');
    expect(measureKey({ figure: 'timeToLevel', levelNm: 400 })).toBe('timeToLevel.400');
    expect(compareAddress()).toBe('/compare');
    expect(compareAddress({ a: 'setup:1', b: 'setup:2', step: forward5 })).toBe(
      '/compare?step=tighten.forward.5&a=setup%3A1&b=setup%3A2',
    );
  });
});
