import './require-node.mjs';
import { percentile, scaledMedianDeviation } from '../shared-lib/signal/order-statistics.ts';
import {
  simulatedToolNames,
  simulatedTools,
  type SimulatedToolName,
} from '../shared-lib/simulation/simulated-tool.ts';
import {
  describeMachine,
  type Figure,
  measureAndReport,
  type Measurement,
  measureOneByOne,
} from './measured-figures.ts';
import { comparedRun, type Compared, type ComparedRun } from './measures/study-measures.ts';

/** `npm run measures-study`: what the program measures of simulated pulls beside what the model did. */
const RUNS = 200;
const RATES_HZ = [80, 1000] as const;
/** Of the torque that the tool tends to; every tool reaches it within the run. */
const LEVEL_SHARE = 0.7;

interface Asked {
  readonly name: keyof ComparedRun;
  readonly unit: string;
  /** In the unit. */
  readonly limit: number;
  readonly errorOf: (measured: number, truth: number) => number;
}

const asked: readonly Asked[] = [
  {
    name: 'sustainedTorqueNm',
    unit: '% of the true sustained torque',
    limit: 0.5,
    errorOf: (measured, truth) => 100 * (measured / truth - 1),
  },
  {
    name: 'timeToLevelS',
    unit: 'ms from the true time to 70 % of the ceiling',
    limit: 10,
    errorOf: (measured, truth) => 1000 * (measured - truth),
  },
  {
    name: 'blowRateHz',
    unit: '% of the true blow rate',
    limit: 0.5,
    errorOf: (measured, truth) => 100 * (measured / truth - 1),
  },
];

const rounded = (value: number): number => Math.round(value * 1000) / 1000;

function figureOf(runs: readonly Compared[], { unit, limit, errorOf }: Asked): Figure {
  const errors = runs.flatMap(({ measured, truth }) =>
    measured === null || truth === null ? [] : [errorOf(measured, truth)],
  );
  const mean = errors.reduce((sum, error) => sum + error, 0) / errors.length;
  const spread = Math.sqrt(errors.reduce((sum, error) => sum + (error - mean) ** 2, 0) / (errors.length - 1));
  const worst = errors.reduce((most, error) => Math.max(most, Math.abs(error)), 0);
  return {
    value: rounded(mean),
    unit: `${unit}, mean error`,
    baseline: rounded(spread),
    limit,
    met: Math.abs(mean) <= limit,
    note:
      `${errors.length} of ${runs.length} seeded runs have both. Baseline: standard deviation of the errors between runs. Median ` +
      `${rounded(percentile(errors, 0.5))}, robust spread ${rounded(scaledMedianDeviation(errors))}, 95 % within ` +
      `${rounded(percentile(errors, 0.025))} to ${rounded(percentile(errors, 0.975))}, worst ${rounded(worst)}.`,
  };
}

function figuresOf(tool: SimulatedToolName): Record<string, Figure> {
  const { blowEnergyJ, driveStiffnessNmPerRad } = simulatedTools[tool];
  const levelNm = Math.round(LEVEL_SHARE * Math.sqrt(2 * blowEnergyJ * driveStiffnessNmPerRad));
  return Object.fromEntries(
    RATES_HZ.flatMap((sampleRateHz) => {
      const runs = Array.from({ length: RUNS }, (_, index) =>
        comparedRun({ tool, sampleRateHz, levelNm }, index + 1),
      );
      return asked
        .filter(({ name }) => runs.some((run) => run[name].measured !== null))
        .map((measure): [string, Figure] => [
          `${tool} ${sampleRateHz} ${measure.name}`,
          figureOf(
            runs.map((run) => run[measure.name]),
            measure,
          ),
        ]);
    }),
  );
}

const measurements: Record<string, Measurement> = Object.fromEntries(
  simulatedToolNames.map((tool): [string, Measurement] => [
    tool,
    { measure: () => Promise.resolve(figuresOf(tool)) },
  ]),
);

const say = (line: string): void => {
  process.stdout.write(`${line}\n`);
};
await measureAndReport({
  folder: 'measures',
  wanted: process.argv.slice(2),
  machine: () => Promise.resolve(describeMachine()),
  say,
  measure: (chosen) => measureOneByOne(chosen, say),
  measurements,
});
