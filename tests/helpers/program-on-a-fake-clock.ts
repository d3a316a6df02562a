import { createSimulatedBench, type SimulatedBench } from '../../shared-lib/simulation/simulated-bench.ts';
import type { BenchStatus } from '../../shared-lib/bench-status.ts';
import type { ReaderCommand, ReaderReport } from '../../main/amplifier/reader-protocol.ts';
import { composeServices } from '../../main/compose-services.ts';
import { startLoopbackServer } from '../../main/hosts/loopback/loopback-server.ts';
import { recordingWriterEntry, rendererFolder } from '../../main/hosts/program-files.ts';
import { startRecordingWriter } from '../../main/hosts/start-recording-writer.ts';
import { toolsOfHost } from './tools-of-host.ts';
import type { Clock } from '../../main/platform/clock.ts';
import { createLogger } from '../../main/platform/logger.ts';
import type { ReaderHandle } from '../../main/platform/platform.ts';
import type { Services } from '../../main/services.ts';
import { buildStaleParts } from '../../scripts/build-parts.mjs';

const TICK_MS = 20;
/** Fake time goes on in steps that are no silence yet (250 ms), each with a block of samples. */
const STEP_MS = 100;

export interface ProgramOnFakeClock {
  /** Opens the page with the token of this start. */
  readonly url: string;
  readonly handlers: Services['handlers'];
  readonly logLines: readonly string[];
  close(): Promise<void>;
}

/**
 * The services with their database, their writer thread, the simulated bench and the loopback host for a browser, on a clock that
 * the test lets go faster than the world's: so many times as fast as `paceOf` says of the newest status; 0: it stands. The reader stands in this
 * process, so that its samples and the time go together however busy the machine is; everything else is as it runs.
 */
export async function startProgramOnFakeClock(
  dataFolder: string,
  paceOf: (status: BenchStatus) => number,
): Promise<ProgramOnFakeClock> {
  await buildStaleParts(() => undefined);
  const logLines: string[] = [];
  const log = createLogger((line) => logLines.push(line));
  let timeUs = 1_000_000;
  const clock: Clock = {
    monotonicUs: () => timeUs,
    now: () => new Date(Date.UTC(2026, 0, 10, 8) + timeUs / 1000),
  };
  const readers = new Set<SteppedReader>();
  const services = await composeServices({
    dataFolder,
    host: 'browser',
    softwareVersion: '0.0.0-test',
    clock,
    log,
    startReader() {
      const reader = new SteppedReader();
      readers.add(reader);
      return reader;
    },
    startRecordingWriter: (databasePath) => startRecordingWriter(recordingWriterEntry, databasePath),
    ...toolsOfHost,
  });
  let newest: BenchStatus | null = null;
  let dueMs = 0;
  const stopFollowing = services.onEvent((name, payload) => {
    // The map of events holds under this name nothing else.
    if (name === 'statusChanged') newest = payload as BenchStatus;
  });
  const timer = setInterval(() => {
    const pace = newest === null ? 1 : paceOf(newest);
    for (dueMs += TICK_MS * pace; dueMs >= STEP_MS; dueMs -= STEP_MS) {
      timeUs += STEP_MS * 1000;
      for (const reader of readers) reader.step(timeUs);
    }
  }, TICK_MS);
  const server = await startLoopbackServer({
    services,
    rendererFolder,
    port: 0,
    log,
    checksResults: true,
  });
  return {
    url: server.url,
    handlers: services.handlers,
    logLines,
    async close() {
      server.beginShutdown();
      await services.close();
      stopFollowing();
      clearInterval(timer);
      await server.close();
    },
  };
}

/** The reader as main sees it, with a simulated bench that gives its samples as the time is stepped on. */
class SteppedReader implements ReaderHandle {
  #post: (report: ReaderReport) => void = () => undefined;
  #open: { readonly openId: number; readonly bench: SimulatedBench } | null = null;
  #nextSlot = 0;

  send(command: ReaderCommand): void {
    switch (command.type) {
      case 'open': {
        const { openId, source, profile } = command;
        if (source.kind !== 'simulated') throw new Error('Only the simulated bench runs on a fake clock');
        const bench = createSimulatedBench({ converterBits: profile.converterBits, ...source.options });
        this.#open = { openId, bench };
        this.#nextSlot = 0;
        // As from another process: never before whoever sends has returned.
        queueMicrotask(() => {
          this.#post({ type: 'opened', openId, path: null, usb: null });
        });
        return;
      }
      case 'pull':
        this.#open?.bench.pull(command.pull);
        return;
      case 'listPorts': {
        const { requestId } = command;
        queueMicrotask(() => {
          this.#post({ type: 'ports', requestId, ports: [] });
        });
        return;
      }
      case 'close':
        this.#open = null;
        return;
      default:
    }
  }

  onReport(listener: (report: ReaderReport) => void): () => void {
    this.#post = listener;
    return () => undefined;
  }

  onExit(): () => void {
    return () => undefined;
  }

  kill(): void {
    this.#open = null;
  }

  step(arrivalUs: number): void {
    if (this.#open === null) return;
    const { openId, bench } = this.#open;
    const counts = bench.nextCounts(Math.round((STEP_MS / 1000) * bench.sampleRateHz));
    const block = { segment: 1, firstSlot: this.#nextSlot, counts, gaps: [], arrivalUs };
    this.#nextSlot += counts.length;
    this.#post({
      type: 'data',
      openId,
      blocks: [block],
      faults: [],
      standingFlags: [],
      lastBadLine: null,
      handedOverBytes: 0,
    });
  }
}
