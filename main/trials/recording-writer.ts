import { AppError } from '../../shared-lib/app-error.ts';
import type { Logger } from '../platform/logger.ts';
import type { RecordingWriterThread } from '../platform/platform.ts';
import { withinLimit } from '../platform/within-limit.ts';
import type {
  CommandOf,
  CommandType,
  RecordingCommand,
  RecordingResults,
} from '../storage/recording-commands.ts';
import { fromCarriedError } from '../storage/recording-protocol.ts';

export interface RecordingWriter {
  /**
   * Resolves once the command is on the disk. The counts of its blocks are handed over and are empty afterwards.
   *
   * Errors: the AppErrors of the database; 'storage-failed' where the thread ended before it answered. A new thread is
   * started with the next command.
   */
  perform<Type extends CommandType>(command: CommandOf<Type>): Promise<RecordingResults[Type]>;
  /** Ends the thread; a command that does not come to its end within the limit is cut off. */
  close(limitMs: number): Promise<void>;
}

interface Pending {
  resolve(result: RecordingResults[CommandType]): void;
  reject(error: Error): void;
}

/** The thread that writes recordings, as main sees it: commands in order, each with its answer. */
export function createRecordingWriter(
  startThread: () => RecordingWriterThread,
  log: Logger,
): RecordingWriter {
  let thread: RecordingWriterThread | null = null;
  let isClosed = false;
  let nextId = 1;
  const pending = new Map<number, Pending>();

  const start = (): RecordingWriterThread => {
    const started = startThread();
    started.onReply((reply) => {
      const asked = pending.get(reply.id);
      pending.delete(reply.id);
      if ('error' in reply) asked?.reject(fromCarriedError(reply.error));
      else asked?.resolve(reply.result);
    });
    started.onExit((cause) => {
      if (thread === started) thread = null;
      if (!isClosed) log.error('The thread that writes recordings ended', { code: 'storage-failed', cause });
      const unanswered = [...pending.values()];
      pending.clear();
      for (const asked of unanswered) asked.reject(threadEnded(cause));
    });
    return started;
  };

  const ask = (command: RecordingCommand): Promise<RecordingResults[CommandType]> =>
    new Promise((resolve, reject) => {
      const id = nextId++;
      pending.set(id, { resolve, reject });
      thread ??= start();
      thread.send({ id, command }, buffersOf(command));
    });

  const opened = ask({ type: 'open' });
  opened.catch((cause: unknown) => {
    log.error('Recordings cannot be written', { code: 'storage-failed', cause });
  });

  return {
    perform<Type extends CommandType>(command: CommandOf<Type>): Promise<RecordingResults[Type]> {
      if (isClosed) return Promise.reject(threadEnded(null));
      return ask(command) as Promise<RecordingResults[Type]>;
    },

    async close(limitMs) {
      if (isClosed) return;
      isClosed = true;
      const ending = thread;
      if (!ending) return;
      const ended = ask({ type: 'close' }).then(
        () => ending.kill(),
        (cause: unknown) => {
          log.warn('The thread that writes recordings was cut off', { code: 'storage-failed', cause });
        },
      );
      await withinLimit(ended, limitMs);
      // One that hangs in the disk ends when the disk lets it; whether it has by then cannot be waited for.
      if (thread) void ending.kill();
    },
  };
}

function threadEnded(cause: unknown): AppError {
  return new AppError(
    'storage-failed',
    'The part of the program that writes recordings ended. What was stored up to then is safe. It is started again with the next trial; repeat the run.',
    {},
    cause,
  );
}

/** Counts only: all the rest of a command is small. */
function buffersOf(command: RecordingCommand): ArrayBuffer[] {
  if (command.type !== 'begin' && command.type !== 'append') return [];
  return command.blocks.map(({ counts }) => counts.buffer as ArrayBuffer);
}
