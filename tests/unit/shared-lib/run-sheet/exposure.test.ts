import { describe, expect, it } from 'vitest';
import { exposureOf, type ExposedPull } from '../../../../shared-lib/run-sheet/exposure.ts';
import { exposureSchema } from '../../../../shared-lib/run-sheet/session-model.ts';
import reference from '../../../fixtures/reference-values/vibration-noise.json' with { type: 'json' };

const HOUR_S = 3600;
const pull = (change: Partial<ExposedPull> = {}): ExposedPull => ({
  toolName: 'Hollin H5',
  isListed: true,
  triggerS: 5,
  vibrationMps2: null,
  noiseDbA: null,
  ...change,
});
const vibrating = (vibrationMps2: number, hours: number) =>
  exposureOf([pull({ vibrationMps2, triggerS: hours * HOUR_S })]);

describe('vibration', () => {
  it('of 5 m/s² for 3 h makes 150 points (HSE ready-reckoner)', () => {
    const { points, a8Mps2, state } = vibrating(5, 3);
    expect(points).toBeCloseTo(150, 9);
    expect(a8Mps2).toBeCloseTo(3.0619, 4);
    expect(state).toBe('actionReached');
  });

  it('reaches the limit at 8.3 m/s² after 2 h 54 min (a published table), to the minute', () => {
    expect(vibrating(8.3, 2 + 54 / 60).state).toBe('actionReached');
    expect(vibrating(8.3, 2 + 55 / 60).state).toBe('limitReached');
  });

  it('reaches the action value at A(8) of 2.5 m/s² and the limit at 5 m/s², not before (Directive 2002/44/EC)', () => {
    expect(vibrating(reference.limits.EAV_A8, 8)).toMatchObject({ state: 'actionReached' });
    expect(vibrating(reference.limits.EAV_A8, 7.99)).toMatchObject({ state: 'below' });
    expect(vibrating(reference.limits.ELV_A8, 8)).toMatchObject({ state: 'limitReached' });
    expect(vibrating(reference.limits.ELV_A8, 7.99)).toMatchObject({ state: 'actionReached' });
  });

  it('that is under a limit is not rounded up to it', () => {
    expect(vibrating(2.5, 7.99).sentences[0]).toMatch(
      /^Vibration: 99\.8 points in .* below the action value of 100 points/,
    );
    expect(vibrating(5, 7.99).sentences[0]).toMatch(
      /^Vibration: 399\.5 points in .* action value of 100 points .* is reached/,
    );
    expect(vibrating(5, 8).sentences[0]).toMatch(/^Vibration: 400 points in .* daily limit value/);
    expect(vibrating(5, 3).sentences[0]).toMatch(/^Vibration: 150 points in/);
  });

  it.each(reference.computed)(
    'of $a m/s² for $hours h has points and A(8) as worked out elsewhere',
    (row) => {
      const exposure = vibrating(row.a, row.hours);
      expect(exposure.points).toBeCloseTo(row.points, 9);
      expect(exposure.a8Mps2).toBeCloseTo(row.A8, 9);
    },
  );

  it.each(reference.times)('of $a m/s² reaches both values at the times worked out elsewhere', (row) => {
    expect(vibrating(row.a, row.hoursToEAV).points).toBeCloseTo(100, 9);
    expect(vibrating(row.a, row.hoursToELV).points).toBeCloseTo(400, 9);
    expect(vibrating(row.a, 1).points).toBeCloseTo(row.pointsPerHour, 9);
  });

  it('of several tools adds up in points', () => {
    const exposure = exposureOf(
      reference.combined.tasks.map(({ a, hours }, index) =>
        pull({ toolName: `demo tool ${index}`, vibrationMps2: a, triggerS: hours * HOUR_S }),
      ),
    );
    expect(exposure.points).toBeCloseTo(reference.combined.points, 9);
    expect(exposure.a8Mps2).toBeCloseTo(reference.combined.A8, 9);
    expect(exposure.tools).toHaveLength(3);
  });

  it('of a tool without a declared value is not taken for none', () => {
    const exposure = exposureOf([
      pull({ vibrationMps2: 10, triggerS: 900 }),
      pull({ toolName: 'Tarnwick T6', triggerS: 300 }),
    ]);
    expect(exposure).toMatchObject({ triggerS: 1200, knownTriggerS: 900, state: 'below' });
    expect(exposure.points).toBeCloseTo(50, 9);
    expect(exposure.tools[1]).toMatchObject({ toolName: 'Tarnwick T6', points: null, pullCount: 1 });
    expect(exposure.sentences.join(' ')).toContain('No vibration is declared for Tarnwick T6');
    expect(exposure.sentences.join(' ')).toContain('the true exposure is higher');
    const unknown = exposureOf([pull()]).sentences.join(' ');
    expect(unknown).toContain('does not mean that it is harmless');
    expect(unknown).not.toContain('below the action value');
  });

  it('of a name that no tool of the list has asks for the tool, each with its own time', () => {
    const { sentences } = exposureOf([
      pull({ vibrationMps2: 10, triggerS: 900 }),
      pull({ toolName: 'Tarnwick T6', triggerS: 300 }),
      pull({ toolName: 'Brindlow B4', triggerS: 60, isListed: false }),
      pull({ toolName: 'Brindlow B4', triggerS: 60, isListed: false }),
    ]);
    expect(sentences[1]).toMatch(/^No vibration is declared for Tarnwick T6: 5\smin .* manual in Tools\.$/u);
    expect(sentences[2]).toMatch(
      /^No tool of the list is called Brindlow B4: 2\smin .* put right in the Logbook/u,
    );
  });

  it('adds the pulls of a tool together, apart for each declared value', () => {
    const { tools } = exposureOf([
      pull({ vibrationMps2: 10 }),
      pull({ vibrationMps2: 10, triggerS: 7 }),
      pull({ vibrationMps2: 12 }),
    ]);
    expect(tools.map(({ pullCount, triggerS }) => [pullCount, triggerS])).toEqual([
      [2, 12],
      [1, 5],
    ]);
  });
});

describe('noise', () => {
  it.each(reference.equalEnergyNoise.allowed)(
    'of $levelDbA dB(A) for $hours h is as much as 85 dB(A) for 8 h (3 dB exchange)',
    ({ levelDbA, hours }) => {
      const { noiseLex8hDbA } = exposureOf([pull({ noiseDbA: levelDbA, triggerS: hours * HOUR_S })]);
      // The published times halve with each 3 dB, equal energy with each 3.01.
      expect(noiseLex8hDbA).toBeCloseTo(85, 0);
      expect(Math.abs((noiseLex8hDbA ?? 0) - 85)).toBeLessThan(0.06);
    },
  );

  it('of two equal tools is 3.01 dB more than of one, 10 lg 2', () => {
    const one = exposureOf([pull({ noiseDbA: 100 })]).noiseLex8hDbA ?? NaN;
    const two = exposureOf([pull({ noiseDbA: 100 }), pull({ toolName: 'Tarnwick T6', noiseDbA: 100 })]);
    expect((two.noiseLex8hDbA ?? NaN) - one).toBeCloseTo(10 * Math.log10(2), 12);
  });

  it('is not made up where no level is declared', () => {
    expect(exposureOf([pull({ vibrationMps2: 10 })]).noiseLex8hDbA).toBeNull();
    const { sentences } = exposureOf([pull({ noiseDbA: 100 }), pull({ toolName: 'Tarnwick T6' })]);
    expect(sentences.join(' ')).toContain('without the tools for which no level is declared');
  });
});

describe('what is said of it', () => {
  it('always defers to local rules and the maker’s manual', () => {
    for (const hours of [0.1, 3, 9]) {
      expect(vibrating(5, hours).sentences.at(-1)).toContain(
        'not a safety assessment: follow your local rules and the maker’s manual',
      );
    }
  });

  it('says to stop at the limit, and nothing before anything pulled', () => {
    expect(vibrating(5, 9).sentences[0]).toContain('stop pulling for today');
    expect(vibrating(5, 3).sentences[0]).not.toContain('stop pulling');
    const nothing = exposureOf([]);
    expect(nothing).toMatchObject({ points: 0, a8Mps2: 0, noiseLex8hDbA: null, state: 'below' });
    expect(nothing.sentences).toEqual(['No tool has pulled yet.']);
    expect(exposureSchema.parse(nothing)).toEqual(nothing);
  });
});
