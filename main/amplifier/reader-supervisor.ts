import type { Clock } from '../platform/clock.ts';
import type { ReaderHandle } from '../platform/platform.ts';
import type { ReaderCommand, ReaderReport } from './reader-protocol.ts';

const DEATHS_WINDOW_US = 10_000_000;
/** A reader that dies more often than this dies of something that starting it again does not mend. */
const QUICK_RESTARTS = 5;
const SLOW_RESTART_US = 5_000_000;

export interface ReaderDeath {
  readonly exitCode: number | null;
  /** When it may be started again: at once, or later where it died too often. */
  readonly restartAtUs: number;
  readonly deathsLately: number;
}

export interface ReaderSupervisor {
  /** Starts the reader where none runs. */
  send(command: ReaderCommand): void;
  /** To a reader that runs only: what it says nothing to is lost with it. */
  sendIfRunning(command: ReaderCommand): void;
  isRunning(): boolean;
  /** To be called now and then: tells the reader what has been taken, so that it knows what still waits. */
  acknowledge(): void;
  /** For good; nothing is reported after it. */
  kill(): void;
}

/** Keeps one reader process, counts its deaths, and acknowledges what it reports. */
export function createReaderSupervisor(
  platform: { startReader(): ReaderHandle; clock: Clock },
  listeners: { onReport(report: ReaderReport): void; onDeath(death: ReaderDeath): void },
): ReaderSupervisor {
  let reader: ReaderHandle | null = null;
  let isKilled = false;
  let deathsUs: number[] = [];
  let takenBytes = 0;
  let acknowledgedBytes = 0;

  const start = (): ReaderHandle => {
    const started = platform.startReader();
    reader = started;
    takenBytes = 0;
    acknowledgedBytes = 0;
    started.onReport((report) => {
      // What an earlier process still had on the way belongs to ports that are closed.
      if (reader !== started || isKilled) return;
      if (report.type === 'data' || report.type === 'heard') takenBytes = report.handedOverBytes;
      listeners.onReport(report);
    });
    started.onExit((exitCode) => {
      if (reader !== started) return;
      reader = null;
      if (isKilled) return;
      const nowUs = platform.clock.monotonicUs();
      deathsUs = [...deathsUs.filter((atUs) => nowUs - atUs < DEATHS_WINDOW_US), nowUs];
      const isTooOften = deathsUs.length > QUICK_RESTARTS;
      listeners.onDeath({
        exitCode,
        restartAtUs: isTooOften ? nowUs + SLOW_RESTART_US : nowUs,
        deathsLately: deathsUs.length,
      });
    });
    return started;
  };

  return {
    send(command) {
      (reader ?? start()).send(command);
    },
    sendIfRunning(command) {
      reader?.send(command);
    },
    isRunning: () => reader !== null,
    acknowledge() {
      if (takenBytes === acknowledgedBytes) return;
      acknowledgedBytes = takenBytes;
      reader?.send({ type: 'acknowledge', takenBytes });
    },
    kill() {
      isKilled = true;
      reader?.kill();
    },
  };
}
