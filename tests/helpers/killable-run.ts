import { demoSetup } from './run-setups.ts';
import { startRealServices } from './running-services.ts';

/** A guided run on the simulated bench in a process of its own: tells whoever forked it each number of readings taken. */
const [dataFolder] = process.argv.slice(2);
if (dataFolder === undefined) throw new Error('One argument is needed');

const bench = await startRealServices(dataFolder);
const { handlers } = bench;
await handlers.connectSimulatedBench({});
await bench.until('samples', ({ amplifier: { counters } }) => counters.samples > 500);
let hungFor: number | null = null;
bench.services.onEvent((name, payload) => {
  if (name !== 'calibrationRunChanged' || !('run' in payload) || payload.run === null) return;
  const { id, nextIndex, taken } = payload.run;
  process.send?.(taken.length);
  if (nextIndex === hungFor) return;
  hungFor = nextIndex;
  void handlers.hangSimulatedWeights({ runId: id, level: null });
});
await handlers.startRun({ setup: demoSetup(2) });
