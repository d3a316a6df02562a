import { homedir } from 'node:os';
import { resolve } from 'node:path';
import { defaultDataFolder } from '../../platform/default-data-folder.ts';
import type { RunningInstance } from '../../storage/instance-lock.ts';
import { readerEntry, rendererFolder } from '../program-files.ts';
import { startServices } from '../start-services.ts';
import { forkReader } from './fork-reader.ts';
import { startLoopbackServer } from './loopback-server.ts';
import { withTicket } from './window-tickets.ts';

export interface LoopbackHostOptions {
  /** Null: the usual place of this system. */
  readonly dataFolder: string | null;
  /** 0: one that is free; null: the usual one or the next that is free. */
  readonly port: number | null;
  readonly isSimulated: boolean;
}

export interface LoopbackHost {
  readonly dataFolder: string;
  readonly origin: string;
  /** Opens the page with the token of this start. */
  readonly url: string;
  /** Opens it once: for the options of a browser, which others can read. */
  ticketUrl(): string;
  windowCount(): number;
  /** Ends a trial under way as interrupted, stores, frees the data folder. */
  close(): Promise<void>;
}

export type LoopbackStart =
  | { readonly kind: 'started'; readonly host: LoopbackHost }
  | {
      readonly kind: 'alreadyRunning';
      readonly dataFolder: string;
      readonly runningAt: RunningInstance | null;
      /** Of the page of the program that runs, where that is served; as `LoopbackHost.ticketUrl`. */
      readonly ticketUrl: (() => string) | null;
    };

/** Starts the services and their door for a browser. Errors: AppError, with a message for the terminal. */
export async function startLoopbackHost(options: LoopbackHostOptions): Promise<LoopbackStart> {
  const dataFolder = resolve(
    options.dataFolder ?? defaultDataFolder(process.platform, process.env, homedir()),
  );
  const started = await startServices({
    dataFolder,
    host: 'browser',
    isSimulated: options.isSimulated,
    startReader: (log) => forkReader(readerEntry, log),
  });
  if ('runningAt' in started) {
    const { runningAt } = started;
    const ticketUrl =
      runningAt?.url.startsWith('http:') === true ? () => withTicket(runningAt.url, Date.now()) : null;
    return { kind: 'alreadyRunning', dataFolder, runningAt, ticketUrl };
  }

  const { services, log } = started;
  try {
    const server = await startLoopbackServer({ services, rendererFolder, port: options.port, log });
    started.publish(server.url);
    return {
      kind: 'started',
      host: {
        dataFolder,
        origin: server.origin,
        url: server.url,
        ticketUrl: () => withTicket(server.url, Date.now()),
        windowCount: () => server.windowCount(),
        async close() {
          server.beginShutdown();
          await started.end();
          await server.close();
        },
      },
    };
  } catch (error) {
    await started.end();
    throw error;
  }
}
