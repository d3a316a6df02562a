import { beginTrial, appendBlock } from '../../../main/storage/recording-repository.ts';
import { block, newTrial, open, seedBench } from './bench-fixture.ts';

/** Appends blocks of 30 slots, each slot holding its own number, and says after each how many slots are on the disk. */
const SLOTS = 30;
const folder = process.argv[2];
if (folder === undefined) throw new Error('Which folder?');

const database = open(folder);
beginTrial(database, newTrial(seedBench(database)), []);
for (let firstSlot = 0; ; firstSlot += SLOTS) {
  const counts = Array.from({ length: SLOTS }, (_, index) => firstSlot + index);
  appendBlock(database, 'trial-1', block(firstSlot, counts));
  process.stdout.write(`${firstSlot + SLOTS}\n`);
}
