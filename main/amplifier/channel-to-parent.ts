import process from 'node:process';
import type { ReaderCommand, ReaderReport } from './reader-protocol.ts';
import type { ReaderChannel } from './run-reader.ts';

interface ParentPort {
  postMessage(report: ReaderReport): void;
  on(event: 'message', listener: (message: { readonly data: ReaderCommand }) => void): void;
}

/** The reader process's way to main, under Node's `fork` as well as under Electron's `utilityProcess`. */
export function channelToParent(): ReaderChannel {
  const { parentPort } = process as { parentPort?: ParentPort };
  if (parentPort) {
    return {
      post: (report) => {
        parentPort.postMessage(report);
      },
      onCommand: (listener) => {
        parentPort.on('message', (message) => {
          listener(message.data);
        });
      },
    };
  }
  // A reader whose program is gone has nobody to read for.
  process.on('disconnect', () => process.exit(0));
  // A report that was on its way when the program died.
  process.on('error', () => process.exit(0));
  return {
    post: (report) => {
      if (process.connected) process.send?.(report);
    },
    onCommand: (listener) => {
      process.on('message', listener);
    },
  };
}
