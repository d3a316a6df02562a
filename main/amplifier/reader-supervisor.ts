import { AppError } from '../../shared-lib/app-error.ts';
import type { Clock } from '../platform/clock.ts';
import type { ReaderHandle } from '../platform/platform.ts';
import type { ReaderCommand, ReaderReport } from './reader-protocol.ts';

const DEATHS_WINDOW_US = 10_000_000;
/** A reader that dies more often than this dies of something that starting it again does not mend. */
const QUICK_RESTARTS = 5;
const SLOW_RESTART_US = 5_000_000;

export interface ReaderDeath {
  readonly exitCode: number | null;
  /** It died so often that it is not to be started again at once, but at `restartAtUs`. */
  readonly isTooOften: boolean;
  readonly restartAtUs: number;
  readonly deathsLately: number;
}

export interface ReaderSupervisor {
  /** Starts the reader where none runs. Errors: AppError 'shutting-down' once it was ended. */
  send(command: ReaderCommand): void;
  /** To a reader that runs only: what it says nothing to is lost with it. */
  sendIfRunning(command: ReaderCommand): void;
  isRunning(): boolean;
  /** To be called now and then: tells the reader what has been taken, so that it knows what still waits. */
  acknowledge(): void;
  /** For good; it is given so long to close its port first. Nothing is reported any more. */
  end(patienceMs: number): Promise<void>;
}

/** Keeps one reader process, counts its deaths, and acknowledges what it reports. */
export function createReaderSupervisor(
  platform: { startReader(): ReaderHandle; clock: Clock },
  listeners: { onReport(report: ReaderReport): void; onDeath(death: ReaderDeath): void },
): ReaderSupervisor {
  let reader: ReaderHandle | null = null;
  let isEnded = false;
  let onPortClosed: (() => void) | null = null;
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
      if (report.type === 'closed') onPortClosed?.();
      if (reader !== started || isEnded) return;
      if (report.type === 'data' || report.type === 'heard') takenBytes = report.handedOverBytes;
      listeners.onReport(report);
    });
    started.onExit((exitCode) => {
      if (reader !== started) return;
      reader = null;
      onPortClosed?.();
      if (isEnded) return;
      const nowUs = platform.clock.monotonicUs();
      deathsUs = [...deathsUs.filter((atUs) => nowUs - atUs < DEATHS_WINDOW_US), nowUs];
      const isTooOften = deathsUs.length > QUICK_RESTARTS;
      listeners.onDeath({
        exitCode,
        isTooOften,
        restartAtUs: isTooOften ? nowUs + SLOW_RESTART_US : nowUs,
        deathsLately: deathsUs.length,
      });
    });
    return started;
  };

  return {
    send(command) {
      if (isEnded) throw new AppError('shutting-down', 'The program is ending, so no amplifier is read.');
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
    async end(patienceMs) {
      isEnded = true;
      if (reader && patienceMs > 0) {
        const closed = new Promise<void>((resolve) => (onPortClosed = resolve));
        const timer = setTimeout(() => onPortClosed?.(), patienceMs);
        reader.send({ type: 'close' });
        await closed;
        clearTimeout(timer);
      }
      reader?.kill();
    },
  };
}
