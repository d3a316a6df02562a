import './require-node.mjs';
import { measureDoor } from './faults/door-probes.ts';
import { measureFullDisk } from './faults/full-disk.ts';
import { measureKills } from './faults/kills.ts';
import { measureMutatedLines } from './faults/mutated-lines.ts';
import { measurePowerCuts } from './faults/power-cut.ts';
import { measureRandomRequests } from './faults/random-requests.ts';
import { measureUnpluggings } from './faults/unpluggings.ts';
import { describeMachine, measureAndReport } from './measured-figures.ts';

/** `npm run faults`: what the program stands, beside a baseline of the same run. About half an hour; names measure only those. */
const say = (line: string): void => {
  process.stdout.write(`${line}\n`);
};

await measureAndReport({
  folder: 'faults',
  wanted: process.argv.slice(2),
  machine: () => Promise.resolve(describeMachine()),
  say,
  measurements: {
    F1: { measure: async () => ({ F1: await measureKills(say) }) },
    F2: { measure: async () => ({ F2: await measureMutatedLines() }) },
    F3: { measure: async () => ({ F3: await measureUnpluggings(say) }) },
    F4: { measure: async () => ({ F4: await measureFullDisk(say) }) },
    power: { measure: async () => ({ power: await measurePowerCuts(say) }) },
    F6: { measure: async () => ({ F6: await measureRandomRequests() }) },
    F7: { measure: async () => ({ F7: await measureDoor() }) },
  },
});
// Sockets that were refused in mid-handshake and timers of the last measurement hold nothing that is needed.
process.exit();
