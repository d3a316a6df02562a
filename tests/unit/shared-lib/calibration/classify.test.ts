import { describe, expect, it } from 'vitest';
import { classify, type ClassifiedStep } from '../../../../shared-lib/calibration/classify.ts';
import torqueClass from '../../../fixtures/reference-values/torque-class.json' with { type: 'json' };

/** Limits of EURAMET cg-14 and DIN 51309, FROM MEMORY, as they stand in the fixture. */
const { rows, calibrationTorqueUncertainty_pct: appliedLimits } = torqueClass.cg14_DIN51309;
const classes = rows.map(
  ([name = NaN, repeatability, reproducibility, interpolation, zero = NaN, reversibility]) => ({
    name,
    zero,
    figures: {
      repeatabilityPercent: repeatability ?? NaN,
      reproducibilityPercent: reproducibility ?? NaN,
      interpolationPercent: interpolation ?? NaN,
      reversibilityPercent: reversibility ?? NaN,
      appliedTorquePercent: new Map(Object.entries(appliedLimits)).get(String(name)) ?? NaN,
    },
  }),
);
type Figures = Omit<ClassifiedStep, 'torqueNm'>;
const at = (torquesNm: readonly number[], figures: Figures): ClassifiedStep[] =>
  torquesNm.map((torqueNm) => ({ torqueNm, ...figures }));
const steps = (figures: Figures): ClassifiedStep[] => at([20, 60, 100], figures);

describe('the class', () => {
  it.each(classes)('is $name where every figure is at its limits', ({ name, zero, figures }) => {
    expect(classify(steps(figures), zero, 3)).toMatchObject({ reached: name, fromNm: 20 });
    // A miss to the other side counts as much.
    const turned = { ...figures, interpolationPercent: -figures.interpolationPercent };
    expect(classify(steps(turned), zero, 3).reached).toBe(name);
  });

  it.each(classes)(
    'is the next where one figure alone exceeds a limit of $name',
    ({ name, zero, figures }) => {
      const next = classes[classes.findIndex((one) => one.name === name) + 1]?.name ?? null;
      for (const [figure, limit] of Object.entries(figures)) {
        const beyond = { ...figures, [figure]: 1.001 * limit };
        expect(classify(steps(beyond), zero, 3).reached, figure).toBe(next);
      }
      expect(classify(steps(figures), 1.001 * zero, 3).reached).toBe(next);
    },
  );

  it('holds from where all steps above keep it, which must be at most a fifth of the greatest', () => {
    const [fine, coarse] = [classes[2]!, classes[4]!];
    const mixed = [...at([10], coarse.figures), ...at([20, 60, 100], fine.figures)];
    expect(classify(mixed, fine.zero, 3)).toEqual({
      reached: 0.2,
      fromNm: 20,
      reason: {
        sentence:
          'Class 0.2 from 20.0\u202fN·m (14.8\u202fft·lbf) up. Class limits as remembered; check against your copy of the standard.',
        isFromMemory: true,
      },
    });
    const late = [...at([10, 20], coarse.figures), ...at([30, 100], fine.figures)];
    expect(classify(late, fine.zero, 3)).toMatchObject({ reached: 1, fromNm: 10 });
    // Reverse torques count by their size.
    const reverse = mixed.map((step) => ({ ...step, torqueNm: -step.torqueNm }));
    expect(classify(reverse, fine.zero, 3)).toMatchObject({ reached: 0.2, fromNm: 20 });
    // Nothing holds at the top.
    const broken = [
      ...at([20, 60], fine.figures),
      ...at([100], { ...fine.figures, interpolationPercent: 9 }),
    ];
    expect(classify(broken, fine.zero, 3).reached).toBeNull();
  });

  it('is none without three mountings, a zero return, or a figure of every kind', () => {
    const { figures, zero } = classes[3]!;
    expect(classify(steps(figures), zero, 2)).toEqual({
      reached: null,
      fromNm: null,
      reason: { sentence: 'No class: it takes 3 mountings, and there were 2.', isFromMemory: false },
    });
    expect(classify(steps(figures), zero, 1).reason.sentence).toBe(
      'No class: it takes 3 mountings, and there was 1.',
    );
    expect(classify(steps(figures), null, 3).reason).toEqual({
      sentence:
        'No class: even the widest limits are not kept. Class limits as remembered; check against your copy of the standard.',
      isFromMemory: true,
    });
    for (const missing of [
      'repeatabilityPercent',
      'reproducibilityPercent',
      'reversibilityPercent',
    ] as const) {
      expect(classify(steps({ ...figures, [missing]: null }), zero, 3).reached, missing).toBeNull();
    }
  });
});
