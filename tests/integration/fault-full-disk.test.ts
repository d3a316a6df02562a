import { describe, expect, it } from 'vitest';
import { measureFullDisk } from '../../scripts/faults/full-disk.ts';
import { canMountSmallDisk } from '../../scripts/faults/small-disk.ts';

/** A file system of its own that is filled to its last byte; where none may be mounted, storage-open.test.ts limits the file. */
describe.skipIf(!canMountSmallDisk())('a disk that fills up in mid-run', () => {
  it('stops the run for all to see, costs nothing that was measured, and is forgotten once there is space again', async () => {
    const { value, baseline, note } = await measureFullDisk(() => undefined, 1);
    expect({ value, baseline }, note).toEqual({ value: 0, baseline: 1 });
  });
});
