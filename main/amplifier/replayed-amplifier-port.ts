import { createReadStream } from 'node:fs';
import { Readable } from 'node:stream';
import { setTimeout as wait } from 'node:timers/promises';
import { createCaptureReader } from '../../shared-lib/amplifier/capture-format.ts';
import { AppError } from '../../shared-lib/app-error.ts';
import type { Clock } from '../platform/clock.ts';
import type { AmplifierPort } from './amplifier-port.ts';

/** Timers come no finer; records that are due sooner go out together. */
const FINEST_WAIT_US = 1000;
/** So that closing does not wait for the end of a long silence. */
const LONGEST_WAIT_MS = 60_000;

/**
 * Plays a capture as a port, at the pace at which it was captured; ends with the capture.
 *
 * Errors: AppError 'capture-damaged', also of the stream where the damage comes later in the file; 'capture-not-found'.
 */
export async function openReplayedPort(filePath: string, clock: Clock): Promise<AmplifierPort> {
  const stopping = new AbortController();
  const records = readRecords(filePath);
  const beginning = await records.next();
  const playing = async function* (): AsyncGenerator<Uint8Array> {
    let dueUs = clock.monotonicUs();
    for (let next = beginning; !next.done; next = await records.next()) {
      dueUs += next.value.sinceLastUs;
      for (;;) {
        const aheadUs = dueUs - clock.monotonicUs();
        if (aheadUs < FINEST_WAIT_US) break;
        await wait(Math.min(LONGEST_WAIT_MS, aheadUs / 1000), undefined, { signal: stopping.signal });
      }
      if (next.value.bytes.length > 0) yield next.value.bytes;
    }
  };
  const bytes = Readable.from(playing(), { objectMode: false });
  return {
    bytes,
    endSentence: 'The capture has ended.',
    // A recording does not listen.
    send: () => Promise.resolve(),
    async close() {
      if (bytes.closed) return;
      const closed = new Promise((resolve) => bytes.once('close', resolve));
      bytes.destroy();
      stopping.abort();
      await closed;
      await records.return(undefined);
    },
  };
}

async function* readRecords(
  filePath: string,
): AsyncGenerator<{ sinceLastUs: number; bytes: Uint8Array }, undefined> {
  const reader = createCaptureReader();
  try {
    for await (const chunk of createReadStream(filePath)) yield* reader.push(chunk as Uint8Array);
  } catch (cause) {
    if (cause instanceof AppError) throw cause;
    throw new AppError(
      'capture-not-found',
      'The capture could not be read. It was not played. Refresh the list and choose another one.',
      {},
      cause,
    );
  }
  reader.finishedHeader();
  return undefined;
}
