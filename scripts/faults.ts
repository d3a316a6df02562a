import './require-node.mjs';
import { measureDoor } from './faults/door-probes.ts';
import { measureFullDisk } from './faults/full-disk.ts';
import { measureKills } from './faults/kills.ts';
import { measureMutatedLines } from './faults/mutated-lines.ts';
import { measurePowerCuts } from './faults/power-cut.ts';
import { measureRandomRequests } from './faults/random-requests.ts';
import { canRecord } from './faults/record-program.ts';
import { canMountSmallDisk } from './faults/small-disk.ts';
import { measureUnpluggings } from './faults/unpluggings.ts';
import { describeMachine, measureAndReport, measureOneByOne } from './measured-figures.ts';

/** `npm run faults`: what the program stands, beside a baseline of the same run. Half an hour; names measure only those. */
const say = (line: string): void => {
  process.stdout.write(`${line}\n`);
};

const wanted = process.argv.slice(2);
if (wanted.includes('F5')) throw new Error('F5 is the hour of memory: npm run soak measures it.');
const impossible = [
  ...(canMountSmallDisk() ? [] : ['F4 needs to mount a small file system, as root on Linux.']),
  ...(canRecord() ? [] : ['"power" needs strace, and the right to look at processes with it.']),
];
// Said now rather than after half an hour.
if (wanted.length === 0 && impossible.length > 0) {
  say(
    `Not all can be measured here: ${impossible.join(' ')} Name the others: npm run faults -- F1 F2 F3 F6 F7`,
  );
  process.exit(1);
}
await measureAndReport({
  folder: 'faults',
  wanted,
  machine: () => Promise.resolve(describeMachine()),
  say,
  measure: (chosen) => measureOneByOne(chosen, say),
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
