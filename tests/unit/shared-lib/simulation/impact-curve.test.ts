import { describe, expect, it } from 'vitest';
import { createImpactCurve, type ImpactCurveInput } from '../../../../shared-lib/simulation/impact-curve.ts';
import { createPushCurve } from '../../../../shared-lib/simulation/push-curve.ts';
import { createSeededRandom } from '../../../../shared-lib/simulation/seeded-random.ts';
import { simulatedToolNames, simulatedTools } from '../../../../shared-lib/simulation/simulated-tool.ts';
import type { TorqueCurve } from '../../../../shared-lib/simulation/torque-curve.ts';

function curveOf(change: Partial<ImpactCurveInput> = {}) {
  return createImpactCurve({
    tool: simulatedTools['Hollin H5'],
    isReverse: false,
    triggerS: 5,
    rigUnloading: 'releases',
    runScatter: 0,
    random: createSeededRandom(7, 0),
    ...change,
  });
}

/** Midpoint rule, 20 000 steps/s: the step is 120 times shorter than a swing of the rig. */
function integrate(curve: TorqueCurve, fromS: number, toS: number): number {
  const steps = Math.ceil((toS - fromS) * 20_000);
  const stepS = (toS - fromS) / steps;
  let sum = 0;
  for (let step = 0; step < steps; step += 1) sum += curve.torqueNm(fromS + (step + 0.5) * stepS);
  return sum * stepS;
}

describe('the torque of a pull', () => {
  it('never falls in the joint from one blow to the next', () => {
    for (const name of simulatedToolNames) {
      const { blows } = curveOf({ tool: simulatedTools[name], triggerS: 15 });
      expect(blows.length).toBeGreaterThan(200);
      blows.slice(1).forEach((blow, index) => {
        expect(blow.jointNm).toBeGreaterThanOrEqual(blows[index]?.jointNm ?? Infinity);
        expect(blow.atS).toBeGreaterThan(blows[index]?.atS ?? Infinity);
      });
    }
  });

  it('reaches C sqrt(1 - (1 - a)^n) after n more blows of the same energy', () => {
    // Energy balance of a blow that turns a joint of stiffness c: with y = (T/C)^2, y' = y + a (1 - y), so that
    // 1 - y shrinks by 1 - a at each blow. C = sqrt(2 E k); a = 0.4 c / k with c = 600 N·m/rad. The first blow comes
    // after one time constant of spinning up, with (1 - 1/e)^2 of the energy.
    const tool = { ...simulatedTools['Tarnwick T6'], sagShare: 0, spinUpS: 0.001 };
    const { blows } = curveOf({ tool });
    const ceilingNm = Math.sqrt(2 * 22 * 10_500);
    const a = (0.4 * 600) / 10_500;
    for (const n of [0, 1, 2, 5, 20, 60, 150]) {
      const expectedNm = ceilingNm * Math.sqrt(1 - (1 - a * (1 - Math.exp(-1)) ** 2) * (1 - a) ** n);
      // Single blows scatter by 2 %, and n of them average out; 3 % is three times what one alone does to its torque.
      expect(Math.abs((blows[n]?.jointNm ?? 0) / expectedNm - 1)).toBeLessThan(0.03);
    }
  });

  it('strikes at the rate of the tool once the hammer has its speed', () => {
    for (const name of simulatedToolNames) {
      const { blows } = curveOf({ tool: simulatedTools[name], triggerS: 10 });
      const late = blows.filter(({ atS }) => atS > 2);
      const spanS = (late.at(-1)?.atS ?? 0) - (late[0]?.atS ?? 0);
      const rateHz = (late.length - 1) / spanS;
      // Intervals scatter by 1 %, and 170 or more of them are averaged.
      expect(Math.abs(rateHz / simulatedTools[name].blowRateHz - 1)).toBeLessThan(0.004);
    }
  });

  it.each(simulatedToolNames)(
    'of the %s settles just below its ceiling, between 300 and 1100 N·m',
    (name) => {
      const tool = simulatedTools[name];
      const curve = curveOf({ tool, triggerS: 15 });
      const levelNm = (curve.impulseNmS(15) - curve.impulseNmS(13)) / 2;
      expect(levelNm).toBeGreaterThan(300);
      expect(levelNm).toBeLessThan(1100);
      // The sagging of the supply takes part of the energy, of which torque is the root; ringing adds about 1 %.
      expect(levelNm / curve.ceilingNm).toBeGreaterThan(Math.sqrt(1 - tool.sagShare));
      expect(levelNm / curve.ceilingNm).toBeLessThan(1.03);
    },
  );

  it('rings over the level of the joint after each blow', () => {
    const { blows, torqueNm } = curveOf();
    const { atS, jointNm } = blows[150] ?? { atS: NaN, jointNm: NaN };
    // A quarter of a swing at 160 Hz after the blow.
    expect(torqueNm(atS + 1 / 640) / jointNm).toBeGreaterThan(1.1);
    expect(torqueNm(atS + 3 / 640) / jointNm).toBeLessThan(0.95);
  });

  it.each(['forward', 'reverse'])('has the stated energy ratio %s', (direction) => {
    const isReverse = direction === 'reverse';
    const expected = Math.sqrt(2 * 22 * (isReverse ? 1.06 : 1) * 10_500);
    expect(curveOf({ tool: simulatedTools['Tarnwick T6'], isReverse }).ceilingNm).toBeCloseTo(expected, 6);
  });

  it('falls to nothing when the rig releases, and stays until it is loosened when the rig holds', () => {
    const releasing = curveOf({ rigUnloading: 'releases' });
    const holding = curveOf({ rigUnloading: 'holds' });
    const levelNm = releasing.blows.at(-1)?.jointNm ?? NaN;
    expect(releasing.torqueNm(5.5) / levelNm).toBeLessThan(0.001);
    expect(holding.torqueNm(5.5) / levelNm).toBeCloseTo(1, 3);
    expect(holding.torqueNm(9.9) / levelNm).toBeCloseTo(1, 6);
    expect(holding.torqueNm(holding.endS - 1e-6)).toBeLessThan(0.001);
  });

  it('is nothing at all when the trigger is let go before the first blow', () => {
    const curve = curveOf({ tool: simulatedTools['Corvane C8'], triggerS: 0.1 });
    expect(curve.blows).toEqual([]);
    expect(integrate(curve, 0, curve.endS)).toBe(0);
  });
});

describe('the impulse', () => {
  const curves: readonly (readonly [string, TorqueCurve])[] = [
    ['a pull on a rig that releases', curveOf({ triggerS: 1 })],
    ['a pull on a rig that holds', curveOf({ triggerS: 1, rigUnloading: 'holds' })],
    ['a push', createPushCurve(-40, 2)],
  ];

  it.each(curves)('of %s is the integral of its torque', (_, curve) => {
    for (const [fromS, toS] of [
      [-0.5, 0.3],
      [0.05, 0.0625],
      [0.4, 0.41],
      [0.9, 1.2],
      [0, curve.endS],
      [curve.endS - 0.2, curve.endS + 1],
    ] as const) {
      const expected = integrate(curve, fromS, toS);
      // The midpoint rule errs most at the corner of each blow: under 2 mN·m·s over a whole pull.
      expect(Math.abs(curve.impulseNmS(toS) - curve.impulseNmS(fromS) - expected)).toBeLessThan(0.002);
    }
  });

  it.each(curves)('of %s does not depend on the order of asking', (_, curve) => {
    const timesS = [0.3, 2, 0.1, 0.9, 0.5, 0.31];
    const once = timesS.map((atS) => curve.impulseNmS(atS));
    const backwards = [...timesS].reverse().map((atS) => curve.impulseNmS(atS));
    expect(backwards.reverse()).toEqual(once);
  });
});

describe('a push by hand', () => {
  it('swells to its torque, holds it for half of its time and ebbs', () => {
    const push = createPushCurve(40, 2);
    expect(push.torqueNm(0)).toBe(0);
    expect(push.torqueNm(0.25)).toBeCloseTo(20, 9);
    expect(push.torqueNm(0.5)).toBeCloseTo(40, 9);
    expect(push.torqueNm(1.4)).toBeCloseTo(40, 9);
    expect(push.torqueNm(1.75)).toBeCloseTo(20, 9);
    expect(push.torqueNm(2)).toBe(0);
    // Raised cosines pass half their height on average: 40 (1 + 2 x 0.5 / 2) N·m s.
    expect(push.impulseNmS(2)).toBeCloseTo(60, 9);
  });
});
