import { formatNumber, formatQuantity } from '../format-quantity.ts';
import { KILOGRAMS_PER_POUND, STANDARD_GRAVITY_MPS2 } from '../quantities.ts';
import type { Finding } from './result-model.ts';
import type { Weight } from './standards-model.ts';
import { nominalMassesKg, weightLimitKg } from './weight-limits.ts';

/** Ours: masses are typed with three digits or more. */
const RATIO_TOLERANCE = 0.005;

const unitSlips = [
  {
    ratio: 1 / KILOGRAMS_PER_POUND,
    figure: '2.2046',
    question: 'was its mass read in pounds and entered as kilograms?',
  },
  {
    ratio: KILOGRAMS_PER_POUND,
    figure: '1/2.2046',
    question: 'was its mass read in kilograms and entered as pounds?',
  },
  {
    ratio: STANDARD_GRAVITY_MPS2,
    figure: '9.8067',
    question: 'was its weight read in newtons and entered as kilograms?',
  },
  {
    ratio: 1 / STANDARD_GRAVITY_MPS2,
    figure: '1/9.8067',
    question: 'was its mass divided by gravity once too often?',
  },
] as const;

/** What the weights of a setup give to look at; each weight is named once. `today` is a calendar day. */
export function massFindings(levels: readonly (readonly Weight[])[], today: string): Finding[] {
  const weights = new Map(levels.flat().map((weight) => [weight.id, weight]));
  return [
    ...levels.flatMap(hungTwice),
    ...[...weights.values()].flatMap((weight) => [
      ...certificateFindings(weight, today),
      ...toleranceFindings(weight),
    ]),
  ];
}

function hungTwice(weights: readonly Weight[], index: number): Finding[] {
  const names = new Set(
    weights
      .filter(({ id }, place) => weights.findIndex((other) => other.id === id) < place)
      .map(({ name }) => name),
  );
  return [...names].map((name) => ({
    code: 'hung-twice',
    severity: 'stop',
    sense: null,
    sentence: `“${name}” is hung twice at level ${index + 1}. Take it away once; a second weight of the same mass is entered as a weight of its own.`,
  }));
}

function certificateFindings({ name, certificate, certificateValidUntil }: Weight, today: string): Finding[] {
  if (certificateValidUntil === null || certificateValidUntil >= today) return [];
  const which = certificate === '' ? 'The certificate' : `Certificate ${certificate}`;
  return [
    {
      code: 'certificate-out-of-date',
      severity: 'look',
      sense: null,
      sentence: `${which} of “${name}” held until ${certificateValidUntil}; today is ${today}. Have the weight calibrated again, or take another; a run with it says so in its report.`,
    },
  ];
}

function toleranceFindings({ name, massKg, tolerance }: Weight): Finding[] {
  if (tolerance.kind === 'own') {
    const { uncertaintyKg } = tolerance;
    if (uncertaintyKg.kind !== 'limit' || uncertaintyKg.limit > 0) return [];
    return [
      {
        code: 'mass-without-uncertainty',
        severity: 'look',
        sense: null,
        sentence: `The mass of “${name}” has an uncertainty of 0, which no weight has. State how well it is known.`,
      },
    ];
  }
  const { weightClass } = tolerance;
  if (weightLimitKg(massKg, weightClass) !== null) return [];
  const mass = massWords(massKg);
  const slip = findUnitSlip(massKg);
  return [
    {
      code: 'no-class-limit',
      severity: 'stop',
      sense: null,
      sentence: `“${name}” is of class ${weightClass}, and R 111 has no nominal mass of ${mass}, hence no limit for it. Give it a tolerance of its own or correct its mass.`,
    },
    ...(slip === null
      ? []
      : [
          {
            code: 'mass-unit',
            severity: 'look',
            sense: null,
            sentence: `“${name}” has ${mass}, which is ${slip.figure} times the nominal ${massWords(slip.nominalKg)}: ${slip.question} If so, correct its mass.`,
          } as const,
        ]),
  ];
}

function findUnitSlip(massKg: number): { figure: string; question: string; nominalKg: number } | null {
  const candidates = unitSlips.flatMap(({ ratio, figure, question }) =>
    nominalMassesKg.map((nominalKg) => ({
      figure,
      question,
      nominalKg,
      distance: Math.abs(massKg / (nominalKg * ratio) - 1),
    })),
  );
  const nearest = candidates.reduce((best, candidate) =>
    candidate.distance < best.distance ? candidate : best,
  );
  return nearest.distance < RATIO_TOLERANCE ? nearest : null;
}

function massWords(massKg: number): string {
  return massKg < 1
    ? formatQuantity(massKg, 'g', decimalsOf(massKg * 1000))
    : formatQuantity(massKg, 'kg', decimalsOf(massKg));
}

/** As many decimals as are there, four at most. */
function decimalsOf(value: number): number {
  const typed = formatNumber(value, 4).replace(/\.?0+$/, '');
  return typed.includes('.') ? (typed.split('.')[1]?.length ?? 0) : 0;
}
