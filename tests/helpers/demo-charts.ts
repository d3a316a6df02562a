import type {
  Chart,
  ChartLook,
  CurveChart,
  MeansChart,
  PlacesChart,
  ResidualsChart,
} from '../../shared-lib/charts/chart-model.ts';

/** Invented (demo) charts, one of each kind, and every look there is. */
const heading = {
  title: 'Hollin H5 against Tarnwick T6',
  subtitle:
    'Tighten forward 5\u202fs. Hollin H5 is ahead of Tarnwick T6 by 12.4\u202f% in sustained torque (95\u202f%: 8.1 to 16.7\u202f%).',
  notes: [
    'n: Hollin H5: 3 runs; Tarnwick T6: 3 runs.',
    'Calibration “Weights on the arm (demo)” of 2026-03-09, ±0.50\u202f% (95\u202f%); pulled 2026-03-18; 1000\u202fSa/s.',
    'Simulated: a demo with a computed bench; no real tool is behind it.',
    'Static calibration; dynamic error not included.',
  ],
};

export function risingCurve(ceilingNm: number, tauS: number, plannedS: number, count = 400) {
  const timeS = Float64Array.from(
    { length: count },
    (_, index) => -0.2 + ((plannedS + 0.5) * index) / (count - 1),
  );
  return {
    timeS,
    torqueNm: timeS.map((at) => (at < 0 ? 0 : ceilingNm * (1 - Math.exp(-at / tauS)) + Math.sin(40 * at))),
  };
}

export function demoCurves(names: readonly string[], runsOfEach = 3): CurveChart {
  return {
    kind: 'curves',
    ...heading,
    curves: names.flatMap((label, name) =>
      Array.from({ length: runsOfEach }, (_, run) => ({
        trialId: `${name}-${run}`,
        label,
        colour: name % 5,
        ...risingCurve(620 - 40 * name + 4 * run, 0.6 + 0.1 * name, 5),
      })),
    ),
    plannedS: 5,
    levels: [{ torqueNm: 700, label: 'claim, Hollin H5' }],
    checkpoints: [1, 2, 3, 5].map((atS) => ({ atS, isClear: atS > 2, text: `+${atS}.4 ± 3.0\u202f%` })),
  };
}

export const demoMeans: MeansChart = {
  kind: 'means',
  ...heading,
  quantity: 'torque',
  quantityWords: 'sustained torque',
  rows: ['Hollin H5', 'Tarnwick T6'].map((label, index) => ({
    label,
    colour: index,
    mean: 620 - 70 * index,
    low: 612 - 70 * index,
    high: 629 - 70 * index,
    runs: [615, 621, 624].map((run) => run - 70 * index),
  })),
  levels: [{ value: 700, label: 'claim, Hollin H5' }],
};

export const demoPlaces: PlacesChart = {
  kind: 'places',
  ...heading,
  title: 'Half-inch wrenches (demo)',
  rows: ['Hollin H5', 'Tarnwick T6', 'Brindlow B4'].map((label, index) => ({
    label,
    place: index + 1,
    bestPlace: Math.max(1, index),
    worstPlace: Math.min(3, index + 2),
    total: 150 - 20 * index,
    terms: [
      { label: 'Torque forward', points: 90 - 12 * index },
      { label: 'Price', points: 60 - 8 * index },
    ],
  })),
};

export const demoResiduals: ResidualsChart = {
  kind: 'residuals',
  ...heading,
  title: 'Calibration “Weights on the arm (demo)”',
  senses: ['Forward', 'Reverse'].map((label) => ({
    label,
    points: [1, 2].flatMap((series) =>
      [50, 100, 150, 200].map((torqueNm) => ({
        torqueNm,
        residualNm: 0.1 * Math.sin(torqueNm * series),
        series: `series ${series}, ${series === 1 ? 'rising' : 'falling'}`,
      })),
    ),
    limits: [50, 100, 150, 200].map((torqueNm) => ({ torqueNm, expandedNm: 0.2 + torqueNm / 1000 })),
  })),
};

export const demoCharts: readonly Chart[] = [
  demoCurves(['Hollin H5', 'Tarnwick T6']),
  demoMeans,
  demoPlaces,
  demoResiduals,
];

export const everyLook: readonly ChartLook[] = (['wide', 'square', 'upright', 'print'] as const).flatMap(
  (format) => (['light', 'dark'] as const).map((theme): ChartLook => ({ format, theme, torqueUnit: 'Nm' })),
);
