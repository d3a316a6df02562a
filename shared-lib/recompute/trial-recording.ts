import { arrivalsFile, countsFile } from '../package/package-tables.ts';
import type { ArrivalMark } from '../signal/fit-sample-clock.ts';
import type { SlotRange } from '../signal/sample-block.ts';
import { NotAPackage } from './not-a-package.ts';
import type { PackageFiles } from './package-files.ts';
import { type Pairs, readPairs } from './read-pairs.ts';

/** A record from its first slot: slots named by a gap hold 0 and were lost. */
export interface PackedRecording {
  readonly counts: Int32Array;
  readonly gaps: readonly SlotRange[];
  readonly marks: readonly ArrivalMark[];
}

/** No trial comes near (an hour at 37 000 Sa/s); more would be a slip or a trap. */
const MOST_SLOTS = 2 ** 27;

/**
 * Raw counts and arrival times of a trial of so many slots.
 *
 * Errors: NotAPackage for a file that is not there, more lines than slots, slots that do not rise or lie beyond the record, and
 * counts that are no 32-bit whole numbers.
 */
export async function readPackedRecording(
  files: PackageFiles,
  { id, slotCount }: { readonly id: string; readonly slotCount: number },
): Promise<PackedRecording> {
  const [countsName, arrivalsName] = [countsFile(id), arrivalsFile(id)];
  if (!(slotCount <= MOST_SLOTS)) throw new NotAPackage(countsName, `No record has ${slotCount} slots.`);
  const samples = readPairs(await files.bytes(countsName), 'slot,counts', countsName, slotCount);
  const arrivals = readPairs(await files.bytes(arrivalsName), 'slot,arrival_us', arrivalsName, slotCount);
  requireRising(samples, slotCount, countsName);
  requireRising(arrivals, slotCount, arrivalsName);

  const counts = new Int32Array(slotCount);
  const gaps: SlotRange[] = [];
  let next = 0;
  for (let at = 0; at < samples.length; at += 2) {
    const [slot, count] = pairAt(samples, at);
    if (!Number.isInteger(count) || Math.abs(count) > 2 ** 31 - 1) {
      throw new NotAPackage(countsName, `The count of slot ${slot} is no whole number of 32 bits: ${count}.`);
    }
    if (slot > next) gaps.push({ offset: next, length: slot - next });
    counts[slot] = count;
    next = slot + 1;
  }
  if (slotCount > next) gaps.push({ offset: next, length: slotCount - next });
  const marks: ArrivalMark[] = [];
  for (let at = 0; at < arrivals.length; at += 2) {
    const [slot, arrivalUs] = pairAt(arrivals, at);
    marks.push({ slot, arrivalUs });
  }
  return { counts, gaps, marks };
}

function pairAt(pairs: Pairs, at: number): readonly [number, number] {
  return [pairs[at] ?? Number.NaN, pairs[at + 1] ?? Number.NaN];
}

function requireRising(pairs: Pairs, slotCount: number, fileName: string): void {
  let last = -1;
  for (let at = 0; at < pairs.length; at += 2) {
    const [slot] = pairAt(pairs, at);
    if (!Number.isInteger(slot) || slot <= last || slot >= slotCount) {
      throw new NotAPackage(
        fileName,
        `Slot ${slot} cannot follow slot ${last} in a record of ${slotCount} slots.`,
      );
    }
    last = slot;
  }
}
