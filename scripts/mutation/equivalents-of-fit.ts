import type { Equivalent } from './equivalent-mutants.ts';

export const equivalentsOfFit: readonly Equivalent[] = [
  {
    file: 'calibration/apply-calibration',
    why: 'at a deflection of 0 either sense reads 0',
    changes: [
      [
        'return deflection * forwardGain >= 0',
        'deflection * forwardGain >= 0',
        '(deflection * forwardGain) > (0)',
      ],
    ],
  },
  {
    file: 'calibration/apply-calibration',
    why: 'one step less of thirty, of which no curve takes half',
    changes: [
      ['for (let step = 0; step < MOST_STEPS; step += 1) {', '0', '1'],
      ['for (let step = 0; step < MOST_STEPS; step += 1) {', '1', '2'],
    ],
  },
  {
    file: 'calibration/apply-calibration',
    why: 'another way to the same torque: only its last step decides',
    changes: [
      ['const slope = c1 + torqueNm * (2 * c2 + 3 * c3 * torqueNm);', '2', '3'],
      ['const slope = c1 + torqueNm * (2 * c2 + 3 * c3 * torqueNm);', '2', '(-2)'],
      ['const slope = c1 + torqueNm * (2 * c2 + 3 * c3 * torqueNm);', '3', '(-3)'],
      [
        'if (Math.abs(change) <= CONVERGED_SHARE * validToNm) break;',
        'CONVERGED_SHARE * validToNm',
        '(CONVERGED_SHARE) / (validToNm)',
      ],
    ],
  },
  {
    file: 'calibration/inverse-reading',
    why: 'only the sign counts, and halving ends at the same double',
    changes: [['if (f(middle) < 0) low = middle;', 'f(middle) < 0', '(f(middle)) <= (0)']],
  },
  {
    file: 'calibration/applied-torque',
    why: 'a step to the other side gives the same slope of what is straight',
    changes: [['const airStep = 1e-3;', '1e-3', '(-0.001)']],
  },
  {
    file: 'calibration/uncertainty-budget',
    why: 'the sum is squared',
    changes: [
      [
        'const ofEstimate = group.reduce((sum, term) => sum + term.standardUncertaintyNm ** 2, 0);',
        'sum + term.standardUncertaintyNm ** 2',
        '(sum) - (term.standardUncertaintyNm ** 2)',
      ],
    ],
  },
  {
    file: 'calibration/incomplete-beta',
    why: 'the remainder of a whole number is the same by 2 and by -2',
    changes: [['term % 2 === 0', '2', '(-2)']],
  },
  {
    file: 'calibration/incomplete-beta',
    why: 'at exactly this number both ways agree to the last digits',
    changes: [
      [
        'if (small < STIRLING_FROM) return lnGamma(small) + remainder + small - small * Math.log(sum) + largePart;',
        'small < STIRLING_FROM',
        '(small) <= (STIRLING_FROM)',
      ],
    ],
  },
  {
    file: 'calibration/choose-fit',
    why: 'the torque has a sign, so this is there for the compiler',
    changes: [['const sign = Math.sign(steps[0]?.torqueNm ?? 1);', '1', '2']],
  },
  {
    file: 'calibration/incomplete-beta',
    why: 'stands for a zero, and of either sign is divided out again by the next step',
    changes: [['return Math.abs(value) < 1e-300 ? 1e-300 : value;', '1e-300', '(-1e-300)']],
  },
  {
    file: 'calibration/incomplete-beta',
    why: 'adds less than 1e-16 from x = 10 on',
    changes: [
      [
        'const STIRLING = [1 / 12, -1 / 360, 1 / 1260, -1 / 1680, 1 / 1188, -691 / 360_360, 1 / 156, -3617 / 122_400];',
        '-3617',
        '3617',
      ],
    ],
  },
];
