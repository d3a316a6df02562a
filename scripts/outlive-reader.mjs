/**
 * A terminal that was closed, or a pipe whose reader has gone, must not end what is under way: nobody reads any more, and that is all.
 * Without this the next word that is said ends the process at once.
 */
export function outliveReader() {
  for (const stream of [process.stdout, process.stderr]) {
    stream.on('error', (/** @type {NodeJS.ErrnoException} */ error) => {
      if (error.code !== 'EPIPE' && error.code !== 'EIO') throw error;
    });
  }
}
