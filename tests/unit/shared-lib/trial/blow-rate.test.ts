import { describe, expect, it } from 'vitest';
import { blowRateHz } from '../../../../shared-lib/trial/blow-rate.ts';
import type { TrialRun } from '../../../../shared-lib/trial/trial-run.ts';
import { refusalOf, valueOf } from './read-measure.ts';
import { createNoise, synthesise } from './synthetic-run.ts';

const runOf = (torqueNm: (timeS: number) => number, rateHz = 1000, plannedS = 5): TrialRun =>
  synthesise({ rateHz, plannedS, onsetS: 0, torqueNm });
const sine =
  (frequencyHz: number, heightNm = 40) =>
  (t: number): number =>
    400 + heightNm * Math.sin(2 * Math.PI * frequencyHz * t + 1);

describe('blowRateHz', () => {
  it.each([
    [320, 12.3],
    [320, 33.3],
    [1000, 45.17],
    [1000, 79.2],
    [40_000, 22.71],
  ])('finds a sine on a plateau at %d Sa/s: %d Hz', (rateHz, frequencyHz) => {
    expect(
      Math.abs(valueOf(blowRateHz(runOf(sine(frequencyHz), rateHz), null, null)) - frequencyHz),
    ).toBeLessThan(0.01);
  });

  it('finds it on a ramp, under noise, and with samples missing', () => {
    const noise = createNoise(3);
    const run = runOf((t) => sine(31.4)(t) + 100 * t + 40 * noise());
    run.rawNm.fill(Number.NaN, 5000, 5060);
    run.rawNm.fill(Number.NaN, 5500, 5502);
    expect(Math.abs(valueOf(blowRateHz(run, null, null)) - 31.4)).toBeLessThan(0.1);
  });

  it('is that of the blows where a multiple of it is the higher line', () => {
    // A rig that rings: at twice the rate of the blows the line is higher, of three times the power.
    const ringing = (t: number): number => sine(21)(t) + 70 * Math.sin(2 * Math.PI * 42 * t);
    expect(valueOf(blowRateHz(runOf(ringing), null, null))).toBeCloseTo(21, 1);
    // At three and four times it too, not at five.
    for (const [multiple, rateHz] of [
      [3, 15.2],
      [4, 15.2],
      [5, 76],
    ] as const) {
      const higher = (t: number): number => sine(15.2)(t) + 70 * Math.sin(2 * Math.PI * multiple * 15.2 * t);
      expect(valueOf(blowRateHz(runOf(higher), null, null))).toBeCloseTo(rateHz, 1);
    }
    // A line that is no multiple stays the lower one of two.
    const other = (t: number): number => sine(21, 30)(t) + 70 * Math.sin(2 * Math.PI * 36 * t);
    expect(valueOf(blowRateHz(runOf(other), null, null))).toBeCloseTo(36, 1);
  });

  it('is the higher of two lines that have nothing to do with each other, also where that is the slower one', () => {
    const torqueNm = (t: number): number => sine(21, 70)(t) + 30 * Math.sin(2 * Math.PI * 36 * t);
    expect(valueOf(blowRateHz(runOf(torqueNm), null, null))).toBeCloseTo(21, 1);
  });

  it('is that of a line at half the frequency from a tenth of the power on', () => {
    // Power goes by the square of the height.
    const rate = (share: number): number => {
      const half = (t: number): number => 70 * Math.sqrt(share) * Math.sin(2 * Math.PI * 21 * t);
      return valueOf(
        blowRateHz(
          runOf((t) => sine(42, 70)(t) + half(t)),
          null,
          null,
        ),
      );
    };
    expect(rate(0.105)).toBeCloseTo(21, 1);
    expect(rate(0.095)).toBeCloseTo(42, 1);
  });

  it('bears the loss of exactly 5 % of the samples', () => {
    // With onset between two samples the last 2 s hold 2000 of them.
    const run = synthesise({ rateHz: 1000, plannedS: 5, onsetS: 0.0005, torqueNm: sine(31.4) });
    run.rawNm.fill(Number.NaN, 5000, 5100);
    expect(valueOf(blowRateHz(run, null, null))).toBeCloseTo(31.4, 1);
    run.rawNm.fill(Number.NaN, 5500, 5501);
    expect(refusalOf(blowRateHz(run, null, null))).toContain('5.1\u202f% of the samples');
  });

  it('sees weak blows beside a slow swing, a plateau and a climb that are each much higher', () => {
    const torqueNm = (t: number): number => sine(4.25)(t) + 100 * t + 0.2 * Math.sin(2 * Math.PI * 30.3 * t);
    expect(valueOf(blowRateHz(runOf(torqueNm), null, null))).toBeCloseTo(30.3, 1);
  });

  it('does not depend on how large torque is: a millionth of it has the same rate', () => {
    const rate = (share: number): number =>
      valueOf(
        blowRateHz(
          runOf((t) => share * sine(31.4)(t)),
          null,
          null,
        ),
      );
    expect(rate(1e-8)).toBeCloseTo(rate(1), 6);
  });

  it('sees blows of 20 mN.m on a torque that climbs by 1000 N.m meanwhile', () => {
    const climbing = (t: number): number => 500 * t + 0.02 * Math.sin(2 * Math.PI * 10.5 * t);
    expect(valueOf(blowRateHz(runOf(climbing), null, null))).toBeCloseTo(10.5, 2);
  });

  it('looks at the last 2 s of the planned time only', () => {
    const run = runOf((t) => (t < 3 ? sine(50)(t) : t <= 5 ? sine(20)(t) : sine(70)(t)));
    expect(valueOf(blowRateHz(run, null, null))).toBeCloseTo(20, 1);
  });

  it('takes no noise for blows', () => {
    const noise = createNoise(1234);
    for (let run = 0; run < 30; run += 1) {
      expect(
        refusalOf(
          blowRateHz(
            runOf(() => 400 + 20 * noise(), 1000, 2),
            null,
            null,
          ),
        ),
      ).toContain('no line between');
    }
  });

  it('takes no plateau, ramp or swing outside of the band for blows', () => {
    for (const torqueNm of [(): number => 400, (t: number): number => 90 * t, sine(4), sine(150)]) {
      expect(refusalOf(blowRateHz(runOf(torqueNm), null, null))).toBe(
        'Blow rate is not resolvable: no line between 10\u202fHz and 80\u202fHz stands out of the last 2\u202fs.',
      );
    }
  });

  it('is not resolvable under 320 Sa/s, where 65 Hz would show at 15 Hz', () => {
    expect(refusalOf(blowRateHz(runOf(sine(65), 80), null, null))).toContain('needs 320\u202fSa/s');
    expect(refusalOf(blowRateHz(runOf(sine(65), 80), 200, null))).toContain('needs 320\u202fSa/s');
    expect(refusalOf(blowRateHz(runOf(sine(30), 319), null, null))).toContain('needs 320\u202fSa/s');
  });

  it('is resolved under it where the amplifier lets nothing through that could be an alias', () => {
    expect(valueOf(blowRateHz(runOf(sine(22.5), 80), 40, null))).toBeCloseTo(22.5, 1);
  });

  it('is refused where the run does not carry it', () => {
    const run = runOf(sine(30));
    expect(refusalOf(blowRateHz({ ...run, plannedS: 1.5 }, null, null))).toContain('at least 2.0\u202fs');
    expect(refusalOf(blowRateHz({ ...run, plannedS: 9 }, null, null))).toContain('6.00\u202fs after onset');
    expect(refusalOf(blowRateHz(run, null, 3.5))).toContain('fell away 3.50\u202fs after onset');
    run.rawNm.fill(Number.NaN, 4500, 4650);
    expect(refusalOf(blowRateHz(run, null, null))).toContain(
      ': 7.5\u202f% of the samples in the last 2\u202fs are lost, more than 5.0\u202f%.',
    );
  });
});
