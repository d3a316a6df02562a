import { join } from 'node:path';
import { setTimeout as waitInRealTime } from 'node:timers/promises';
import Database from 'better-sqlite3';
import { vi } from 'vitest';
import { composeServices } from '../../main/compose-services.ts';
import type { ReaderReport } from '../../main/amplifier/reader-protocol.ts';
import { createLogger } from '../../main/platform/logger.ts';
import { recordingWriterEntry } from '../../main/hosts/program-files.ts';
import { startRecordingWriter } from '../../main/hosts/start-recording-writer.ts';
import { toolsOfHost } from './tools-of-host.ts';
import type { RecordingWriterThread } from '../../main/platform/platform.ts';
import type { Services } from '../../main/services.ts';
import type { BenchStatus, TrialView } from '../../shared-lib/bench-status.ts';
import type { StreamFault } from '../../shared-lib/amplifier/amplifier-stream-decoder.ts';
import type { SampleBlock } from '../../shared-lib/signal/sample-block.ts';
import { makeDataFolder } from './running-services.ts';

export const FED_RATE_HZ = 1000;
export const COUNTS_PER_NM = 1000;
export const FED_CAPACITY_NM = 500;
const BLOCK_S = 0.02;
/** Of the program's own clock. */
const TICK_MS = 50;

export interface FedBench {
  readonly services: Services;
  readonly handlers: Services['handlers'];
  readonly logLines: readonly string[];
  status(): BenchStatus;
  trial<Phase extends TrialView['phase']>(phase: Phase): Extract<TrialView, { phase: Phase }>;
  /**
   * Waits for what the writer thread answers, which no fed time brings about. With `feed` there is no need to wait but
   * for a trial's end: what was fed is written in order.
   */
  untilPhase<Phase extends TrialView['phase']>(phase: Phase): Promise<Extract<TrialView, { phase: Phase }>>;
  until(what: string, condition: () => boolean): Promise<void>;
  /** The threads that write recordings, the newest last. */
  readonly writers: readonly RecordingWriterThread[];
  /** Lets time pass with samples of so much torque, in blocks of 20 ms, as the reader would send them. */
  feed(torqueNm: number, durationS: number): void;
  /** One block with the faults that came with it. */
  feedBlock(torqueNm: readonly number[], more?: { gaps?: SampleBlock['gaps']; faults?: StreamFault[] }): void;
  /** What the amplifier tells of itself in every line from now on, by the meaning of the flags. */
  setFlags(meanings: readonly string[]): void;
  /** The program does nothing for so long; what the reader has sent meanwhile is read only after the timers that are overdue. */
  stall(torqueNm: number, durationS: number): void;
  /** Lets time pass without samples. */
  wait(durationS: number): void;
  /** Somebody sets the clock, or the computer has slept on a system whose monotonic clock stands still meanwhile. */
  jumpWallClock(byS: number): void;
  /** Another program holds the database until the returned function is called. */
  lockDatabase(): () => void;
  /** A second look at the same file. */
  readonly database: Database.Database;
  close(): Promise<void>;
}

/**
 * The real services on a real database, with a reader whose reports and a clock whose time the test gives: for what
 * depends on the order of two events. Fakes the timers; ready but for the guided push. The disk keeps its own time: a
 * request that waits for the database is answered without time being fed.
 */
export async function startFedBench(
  setup: { rigUnloading?: 'holds' | 'releases'; plannedS?: number } = {},
): Promise<FedBench> {
  const folder = makeDataFolder();
  const logLines: string[] = [];
  const writers: RecordingWriterThread[] = [];
  let timeUs = 1_000_000;
  let wallAheadMs = 0;
  let segment = 1;
  let nextSlot = 0;
  let openId = 0;
  let standingFlags: readonly string[] = [];
  let post: (report: ReaderReport) => void = () => undefined;
  vi.useFakeTimers({ toFake: ['setTimeout', 'setInterval', 'clearTimeout', 'clearInterval'] });
  const services = await composeServices({
    dataFolder: folder.path,
    host: 'browser',
    softwareVersion: '0.0.0-test',
    clock: {
      monotonicUs: () => timeUs,
      now: () => new Date(Date.UTC(2026, 0, 1) + wallAheadMs + timeUs / 1000),
    },
    log: createLogger((line) => logLines.push(line)),
    startReader: () => ({
      send(command) {
        if (command.type === 'breakSegment') {
          segment += 1;
          nextSlot = 0;
        }
        if (command.type !== 'open') return;
        openId = command.openId;
        nextSlot = 0;
        const opened = { type: 'opened', openId, path: 'fed', usb: null } as const;
        // As from another process: never before whoever sends has returned.
        queueMicrotask(() => {
          post(opened);
        });
      },
      onReport(listener) {
        post = listener;
        return () => undefined;
      },
      onExit: () => () => undefined,
      kill: () => undefined,
    }),
    startRecordingWriter(databasePath) {
      const writer = startRecordingWriter(recordingWriterEntry, databasePath);
      writers.push(writer);
      return writer;
    },
    ...toolsOfHost,
  });
  const { handlers } = services;
  const databasePath = join(folder.path, 'proofarm.db');
  const database = new Database(databasePath);

  const wait = (durationS: number): void => {
    for (let passedS = 0; passedS < durationS - 1e-9; passedS += BLOCK_S) {
      timeUs += BLOCK_S * 1e6;
      vi.advanceTimersByTime(BLOCK_S * 1000);
    }
  };
  const feedBlock: FedBench['feedBlock'] = (torqueNm, more) => {
    wait(BLOCK_S);
    postBlock(torqueNm, timeUs, more);
  };
  const postBlock = (
    torqueNm: readonly number[],
    arrivalUs: number,
    { gaps = [], faults = [] }: Parameters<FedBench['feedBlock']>[1] = {},
  ): void => {
    // A count of noise: a reading that never moves would be a fault.
    const counts = Int32Array.from(torqueNm, (value, index) => value * COUNTS_PER_NM + (index % 2));
    const block = { segment, firstSlot: nextSlot, counts, gaps, arrivalUs };
    nextSlot += counts.length;
    post({
      type: 'data',
      openId,
      blocks: [block],
      faults,
      standingFlags,
      lastBadLine: null,
      handedOverBytes: 0,
    });
  };
  const until: FedBench['until'] = async (what, condition) => {
    const giveUpAt = performance.now() + 20_000;
    while (!condition()) {
      if (performance.now() > giveUpAt) {
        throw new Error(`Waited in vain for: ${what}. The trial: ${JSON.stringify(bench.status().trial)}`);
      }
      await waitInRealTime(1);
    }
  };
  const bench: FedBench = {
    writers,
    until,
    async untilPhase(phase) {
      await until(`phase ${phase}`, () => bench.status().trial.phase === phase);
      return bench.trial(phase);
    },
    services,
    handlers,
    logLines,
    database,
    status: () => handlers.getStatus({}) as BenchStatus,
    trial<Phase extends TrialView['phase']>(phase: Phase) {
      const { trial } = bench.status();
      if (trial.phase !== phase) throw new Error(`Not ${phase} but ${JSON.stringify(trial)}`);
      return trial as Extract<TrialView, { phase: Phase }>;
    },
    setFlags(meanings) {
      standingFlags = meanings;
    },
    wait,
    stall(torqueNm, durationS) {
      const fromUs = timeUs;
      timeUs += durationS * 1e6;
      vi.advanceTimersByTime(TICK_MS);
      for (let block = 1; block <= Math.round(durationS / BLOCK_S); block += 1) {
        postBlock(blockOf(torqueNm), fromUs + block * BLOCK_S * 1e6);
      }
    },
    jumpWallClock(byS) {
      wallAheadMs += byS * 1000;
    },
    feedBlock,
    feed(torqueNm, durationS) {
      for (let block = 0; block < Math.round(durationS / BLOCK_S); block += 1) feedBlock(blockOf(torqueNm));
    },
    lockDatabase() {
      const other = new Database(databasePath);
      other.exec('BEGIN IMMEDIATE');
      return () => {
        other.exec('ROLLBACK');
        other.close();
      };
    },
    async close() {
      await services.close();
      // What had been set to happen later still happens, as in a program that is about to end.
      vi.advanceTimersByTime(2000);
      vi.useRealTimers();
      database.close();
      folder.remove();
    },
  };

  await handlers.connectAmplifier({
    path: 'fed',
    profileId: 'counts',
    baudRate: 921_600,
    nominalRateHz: FED_RATE_HZ,
    converterBits: 24,
  });
  const [transducer] = (await handlers.listTransducers({})).transducers;
  if (!transducer) throw new Error('There is no transducer');
  await handlers.updateTransducer({
    id: transducer.id,
    capacityNm: FED_CAPACITY_NM,
    rigUnloading: setup.rigUnloading ?? 'releases',
  });
  await handlers.saveCalibration({
    label: 'From the certificate',
    input: {
      method: 'direct',
      zeroCounts: 0,
      forward: { torqueNm: FED_CAPACITY_NM, counts: FED_CAPACITY_NM * COUNTS_PER_NM },
      reverse: { torqueNm: FED_CAPACITY_NM, counts: -FED_CAPACITY_NM * COUNTS_PER_NM },
    },
    enteredUncertaintyPercent: null,
    note: '',
    supersedeReason: null,
  });
  await handlers.updateSettings({
    step: {
      toolName: 'Hollin H5',
      kind: 'tighten',
      direction: 'forward',
      plannedS: setup.plannedS ?? 1,
    },
  });
  await handlers.confirmSafety({});
  bench.feed(0, 1.2);
  await handlers.takeZero({});
  return bench;
}

function blockOf(torqueNm: number): number[] {
  return Array.from({ length: BLOCK_S * FED_RATE_HZ }, () => torqueNm);
}

/** The guided push, clockwise and read as such. */
export async function confirmFedSense(bench: FedBench): Promise<void> {
  const confirmed = bench.handlers.confirmSense({});
  bench.feed(30, 0.6);
  await confirmed;
  bench.feed(0, 1.2);
}

/** Arms and lets the count run out. */
export async function armFedBench(bench: FedBench): Promise<void> {
  await bench.handlers.armTrial({});
  bench.feed(0, 3.6);
  bench.trial('waiting');
}
