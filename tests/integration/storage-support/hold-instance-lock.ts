import { acquireInstanceLock } from '../../../main/storage/instance-lock.ts';

/** A first start of the program on a folder: takes the lock, says where it answers, and lives on. */
const folder = process.argv[2];
if (folder === undefined) throw new Error('Which folder?');
const lock = acquireInstanceLock(folder);
if ('runningAt' in lock) throw new Error('Another one was first');
if (process.argv[3] !== undefined) lock.publish(process.argv[3]);
// The lock must outlive every reference to it, and the code up here holds one until it has run to its end.
setImmediate(() => {
  globalThis.gc?.();
  process.stdout.write(`${process.pid}\n`);
});
setInterval(() => undefined, 1000);
