import { mkdtempSync, rmSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';
import type { EventName, EventPayload } from '../../shared-lib/api-contract.ts';
import type { BenchStatus, TrialView } from '../../shared-lib/bench-status.ts';
import { composeServices } from '../../main/compose-services.ts';
import { forkReader } from '../../main/hosts/loopback/fork-reader.ts';
import { readerEntry, recordingWriterEntry } from '../../main/hosts/program-files.ts';
import { startRecordingWriter } from '../../main/hosts/start-recording-writer.ts';
import { toolsOfHost } from './tools-of-host.ts';
import { systemClock } from '../../main/platform/clock.ts';
import { createLogger } from '../../main/platform/logger.ts';
import type { ReaderHandle, RecordingWriterThread } from '../../main/platform/platform.ts';
import type { Services } from '../../main/services.ts';

export interface RunningServices {
  readonly services: Services;
  readonly handlers: Services['handlers'];
  readonly logLines: readonly string[];
  /** The reader processes started so far, the newest last. */
  readonly readers: readonly ReaderHandle[];
  /** The threads that write recordings, likewise. */
  readonly writers: readonly RecordingWriterThread[];
  seen<Name extends EventName>(name: Name): readonly EventPayload<Name>[];
  status(): Promise<BenchStatus>;
  /** Waits for a status that satisfies the condition; fails with the last one. */
  until(what: string, condition: (status: BenchStatus) => boolean, timeoutMs?: number): Promise<BenchStatus>;
  untilPhase<Phase extends TrialView['phase']>(
    phase: Phase,
    timeoutMs?: number,
  ): Promise<Extract<TrialView, { phase: Phase }>>;
  close(): Promise<void>;
}

export function makeDataFolder(): { path: string; remove(): void } {
  const path = mkdtempSync(join(tmpdir(), 'proofarm-test-'));
  return {
    path,
    remove: () => {
      rmSync(path, { recursive: true, force: true });
    },
  };
}

/** The real services with a real reader process, on a folder of their own. */
export async function startRealServices(
  dataFolder: string,
  entryOfReader = readerEntry,
): Promise<RunningServices> {
  const logLines: string[] = [];
  const log = createLogger((line) => logLines.push(line));
  const readers: ReaderHandle[] = [];
  const writers: RecordingWriterThread[] = [];
  const services = await composeServices({
    dataFolder,
    host: 'browser',
    softwareVersion: '0.0.0-test',
    clock: systemClock,
    log,
    startReader() {
      const reader = forkReader(entryOfReader, log);
      readers.push(reader);
      return reader;
    },
    startRecordingWriter(databasePath) {
      const writer = startRecordingWriter(recordingWriterEntry, databasePath);
      writers.push(writer);
      return writer;
    },
    ...toolsOfHost,
  });
  const events: { name: EventName; payload: unknown }[] = [];
  services.onEvent((name, payload) => {
    if (name !== 'statusChanged') events.push({ name, payload });
  });
  const { handlers } = services;
  const status = (): Promise<BenchStatus> => Promise.resolve(handlers.getStatus({}));

  const until: RunningServices['until'] = async (what, condition, timeoutMs = 30_000) => {
    const deadline = Date.now() + timeoutMs;
    for (;;) {
      const current = await status();
      if (condition(current)) return current;
      if (Date.now() > deadline) {
        throw new Error(`Waited in vain for: ${what}. Last status: ${JSON.stringify(current, null, 1)}`);
      }
      await new Promise((resolve) => setTimeout(resolve, 20));
    }
  };

  return {
    services,
    handlers,
    logLines,
    readers,
    writers,
    seen: <Name extends EventName>(name: Name) =>
      events.filter((event) => event.name === name).map(({ payload }) => payload as EventPayload<Name>),
    status,
    until,
    async untilPhase(phase, timeoutMs) {
      const { trial } = await until(`phase ${phase}`, (current) => current.trial.phase === phase, timeoutMs);
      return trial as Extract<TrialView, { phase: typeof phase }>;
    },
    close: () => services.close(),
  };
}
