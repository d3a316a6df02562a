import type { AmplifierSettings } from '../../shared-lib/amplifier/amplifier-profile.ts';
import { armWhenAtRest } from './arm-when-at-rest.ts';
import { startRealServices } from './running-services.ts';

/** A bench in a process of its own: connects, sets the zero, arms, and tells every phase to whoever forked it. */
const [dataFolder, amplifierJson] = process.argv.slice(2);
if (dataFolder === undefined || amplifierJson === undefined) throw new Error('Two arguments are needed');
const amplifier = JSON.parse(amplifierJson) as AmplifierSettings;

const bench = await startRealServices(dataFolder);
let phase = '';
bench.services.onEvent((name, payload) => {
  if (name !== 'statusChanged' || !('trial' in payload) || payload.trial.phase === phase) return;
  phase = payload.trial.phase;
  process.send?.(phase);
});
const { handlers } = bench;
await handlers.connectAmplifier(amplifier);
// The tool of the run before lets go half a second into the new stream; then the transducer has a second of rest.
await bench.until(
  'samples of a transducer at rest',
  (status) => status.amplifier.counters.samples > 2.5 * amplifier.nominalRateHz,
);
await handlers.confirmSafety({});
// A writer that a busy machine made late has the tool let go later too.
await armWhenAtRest(handlers);
