import type { Figure } from '../measured-figures.ts';
import type { PassingMeasurement, PerfRun, PrepareMeasurement } from './perf-run.ts';

/** A machine that others use, too, is slower for some minutes and quicker for others: each figure has its share of both. */
const PASSES = { full: 5, short: 1 };

/** Goes through all measurements again and again; their order in each pass is that of the names. */
export async function measureInPasses(
  wanted: readonly (readonly [string, PrepareMeasurement])[],
  run: PerfRun,
): Promise<Record<string, Figure>> {
  const prepared: [string, PassingMeasurement][] = [];
  try {
    for (const [name, prepare] of wanted) {
      run.say(`Preparing ${name}.`);
      prepared.push([name, await prepare(run)]);
    }
    for (let pass = 1; pass <= PASSES[run.form]; pass += 1) {
      for (const [name, measurement] of prepared) {
        run.say(`Measuring ${name}, pass ${pass} of ${PASSES[run.form]}.`);
        await measurement.pass();
      }
    }
    return Object.fromEntries(prepared.flatMap(([, measurement]) => Object.entries(measurement.figures())));
  } finally {
    for (const [, measurement] of prepared) await measurement.end();
  }
}
