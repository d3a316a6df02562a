import type { ReaderCommand, ReaderReport } from '../amplifier/reader-protocol.ts';
import type { WriterReply, WriterRequest } from '../storage/recording-protocol.ts';
import type { OverlayFrame } from '../../shared-lib/overlay/overlay-model.ts';
import type { WorkReport, WorkRequest } from '../work/work-protocol.ts';
import type { Clock } from './clock.ts';
import type { Logger } from './logger.ts';

/** What the services need from the world around them; each host brings its own. */
export interface Platform {
  readonly dataFolder: string;
  readonly host: 'desktop' | 'browser';
  readonly softwareVersion: string;
  readonly clock: Clock;
  readonly log: Logger;
  /** The script that travels in data packages. */
  readonly recomputeFile: string;
  /** Closes the services, does something to their data, and starts them anew. Errors: what they do not start with. */
  restart(replaceData: () => void): Promise<void>;
  /** Starts a process of its own that reads the amplifier; whoever starts it ends it. */
  startReader(): ReaderHandle;
  /** Starts a thread of its own that writes recordings into this database; whoever starts it ends it. */
  startRecordingWriter(databasePath: string): RecordingWriterThread;
  /** Starts a thread of its own for one piece of work that takes a while; it ends with the work. */
  startWorkThread(request: WorkRequest): WorkThread;
  /** Serves the overlay on the loopback address, under either host. */
  startOverlayDoor(options: OverlayDoorOptions): Promise<OverlayDoor>;
}

/** The writer thread as its owner sees it. */
export interface RecordingWriterThread {
  /** `transferred` buffers are the thread's from then on. A request to a thread that has ended is dropped. */
  send(request: WriterRequest, transferred: readonly ArrayBuffer[]): void;
  onReply(listener: (reply: WriterReply) => void): void;
  /** Called once, also after `kill`; the cause is null where it was told to end. */
  onExit(listener: (cause: unknown) => void): void;
  kill(): Promise<void>;
}

/** The reader process as its owner sees it. */
export interface ReaderHandle {
  /** Commands to a process that has ended are dropped: its exit has been, or is about to be, reported. */
  send(command: ReaderCommand): void;
  /** Returns the function that ends the subscription. */
  onReport(listener: (report: ReaderReport) => void): () => void;
  /** Called once, also after `kill`; the code is null where a signal ended it. */
  onExit(listener: (exitCode: number | null) => void): () => void;
  kill(): void;
}

/** A thread with one piece of work, as whoever asked for it sees it. */
export interface WorkThread {
  /** Asks it to stop at the next opportunity. */
  cancel(): void;
  onReport(listener: (report: WorkReport) => void): void;
  /** Called once, also after `kill`; the cause is null where it ended by itself. */
  onExit(listener: (cause: unknown) => void): void;
  kill(): Promise<void>;
}

export interface OverlayDoorOptions {
  readonly port: number;
  readonly token: string;
  readonly log: Logger;
  /** What a page that has just connected is told first. */
  greet(): readonly OverlayFrame[];
  onViewers(count: number): void;
}

/** The door of the overlay, which only tells and never listens. */
export interface OverlayDoor {
  readonly url: string;
  send(frame: OverlayFrame): void;
  close(): Promise<void>;
}
