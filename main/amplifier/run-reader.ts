import { setTimeout as wait } from 'node:timers/promises';
import { ReadlineParser } from '@serialport/parser-readline';
import { createAmplifierStreamDecoder } from '../../shared-lib/amplifier/amplifier-stream-decoder.ts';
import type { AmplifierProfile } from '../../shared-lib/amplifier/amplifier-profile.ts';
import { delimiterOf } from '../../shared-lib/amplifier/decode-amplifier-line.ts';
import { AppError } from '../../shared-lib/app-error.ts';
import type { Clock } from '../platform/clock.ts';
import type { AmplifierPort, PortAccess } from './amplifier-port.ts';
import { explainFailure, openCaptureFile, startCaptureWriter, type CaptureWriter } from './capture-writer.ts';
import { createLineLengthGuard } from './line-length-guard.ts';
import { openSource } from './open-source.ts';
import type { PortSource, ReaderCommand, ReaderReport } from './reader-protocol.ts';
import { createRecentBytes } from './recent-bytes.ts';
import { createReportQueue, queueLimits, type QueueLimits } from './report-queue.ts';
import type { SimulatedAmplifierPort } from './simulated-amplifier-port.ts';

/**
 * How often blocks go to main: short enough that under 100 ms of samples are ever on the way to the disk, long enough that
 * messages cost little beside lines.
 */
const REPORT_INTERVAL_MS = 20;
/** What an amplifier is told before its port is closed must get out, but not hold up whoever closes it. */
const STOP_PATIENCE_MS = 300;

interface OpenPort {
  readonly openId: number;
  readonly port: AmplifierPort;
  readonly simulated: SimulatedAmplifierPort | null;
  readonly stopText: string | null;
  readonly reportTimer: NodeJS.Timeout;
  /** Reports what has come since the last report; nothing comes any more. */
  finish(): void;
  breakSegment(): void;
}

export interface ReaderChannel {
  post(report: ReaderReport): void;
  onCommand(listener: (command: ReaderCommand) => void): void;
}

/** The reader process: one port at a time, its bytes decoded and passed on in blocks. */
export function runReader(
  channel: ReaderChannel,
  clock: Clock,
  ports: PortAccess,
  limits: QueueLimits = queueLimits,
): void {
  const queue = createReportQueue((report) => channel.post(report), limits);
  const recent = createRecentBytes();
  let open: OpenPort | null = null;
  let capture: CaptureWriter | null = null;

  const startReporting = (report: () => void): NodeJS.Timeout =>
    setInterval(() => {
      report();
      if (queue.isCrowded()) recent.clear();
    }, REPORT_INTERVAL_MS);

  const endReporting = (closing: OpenPort, message: string | null): void => {
    clearInterval(closing.reportTimer);
    closing.finish();
    channel.post({ type: 'closed', openId: closing.openId, message });
  };

  const closeOpenPort = async (): Promise<void> => {
    const closing = open;
    if (!closing) return;
    open = null;
    if (closing.stopText !== null) {
      await Promise.race([closing.port.send(closing.stopText), wait(STOP_PATIENCE_MS)]);
    }
    await closing.port.close();
    endReporting(closing, null);
  };

  const watchForLoss = (current: OpenPort): void => {
    const { bytes, endSentence } = current.port;
    let message = endSentence;
    bytes.on('error', (error: Error) => {
      message = error.message;
    });
    bytes.on('close', () => {
      if (open !== current) return;
      open = null;
      // What was read may still be on its way through the parser.
      setImmediate(() => {
        endReporting(current, message);
      });
    });
  };

  const openPort = async (openId: number, source: PortSource, profile: AmplifierProfile): Promise<void> => {
    await closeOpenPort();
    const { port, path, usb, simulated } = await openSource(source, profile, { ports, clock });
    const decoder = createAmplifierStreamDecoder(profile);
    const delimiter = delimiterOf(profile);
    const guard = createLineLengthGuard(delimiter, (text) => {
      decoder.countUnreadable(text);
    });
    const parser = new ReadlineParser({ delimiter, encoding: 'latin1' });
    // Stamped when bytes arrive, not when a line is complete: all lines of a chunk were there at the same time.
    let arrivalUs = clock.monotonicUs();
    recent.restart(path ?? source.kind, profile);
    port.bytes.on('data', (bytes: Buffer) => {
      arrivalUs = clock.monotonicUs();
      recent.add(bytes, arrivalUs);
      capture?.add(bytes, arrivalUs);
      // Written to and not piped into, which costs as much as reading. The parser is never ended, not with the port either:
      // it would pass on what it holds of a line, and the beginning of `-123456` is a credible `-12`.
      for (const passed of guard.pass(bytes)) parser.write(passed);
    });
    parser.on('data', (line: string) => {
      decoder.push(line, arrivalUs);
    });

    const report = (): void => {
      queue.data(openId, decoder.take(), () => {
        decoder.breakSegment();
      });
    };
    const current: OpenPort = {
      openId,
      port,
      simulated,
      stopText: profile.textsToSend.stop,
      reportTimer: startReporting(report),
      finish() {
        report();
        queue.finish(openId);
      },
      breakSegment() {
        report();
        decoder.breakSegment();
      },
    };
    watchForLoss(current);
    open = current;
    channel.post({ type: 'opened', openId, path, usb });
    for (const text of [profile.textsToSend.onOpen, profile.textsToSend.start]) {
      if (text !== null) void port.send(text);
    }
  };

  const listen = async (openId: number, path: string, baudRate: number): Promise<void> => {
    await closeOpenPort();
    const port = await ports.open(path, { baudRate, dataBits: 8, stopBits: 1, parity: 'none' });
    let heard: Buffer[] = [];
    let arrivalUs = 0;
    port.bytes.on('data', (bytes: Buffer) => {
      arrivalUs = clock.monotonicUs();
      heard.push(bytes);
    });
    const report = (): void => {
      if (heard.length === 0) return;
      queue.heard(openId, new Uint8Array(Buffer.concat(heard)), arrivalUs);
      heard = [];
    };
    const current: OpenPort = {
      openId,
      port,
      simulated: null,
      stopText: null,
      reportTimer: startReporting(report),
      finish: report,
      breakSegment: () => undefined,
    };
    watchForLoss(current);
    open = current;
    channel.post({ type: 'opened', openId, path, usb: null });
  };

  const startCapture = async ({
    filePath,
    header,
  }: Extract<ReaderCommand, { type: 'startCapture' }>): Promise<void> => {
    await capture?.stop();
    capture = await startCaptureWriter(
      await openCaptureFile(filePath),
      header,
      clock.monotonicUs(),
      (progress) => {
        channel.post({ type: 'captureChanged', ...progress });
      },
    );
  };

  const stopCapture = async (): Promise<void> => {
    const stopping = capture;
    capture = null;
    await stopping?.stop();
  };

  // One command at a time: an opening must not overtake the closing before it.
  const portWork = createTurns();
  // Captures wait for the disk, and nothing that has to do with the port waits for that.
  const captureWork = createTurns();
  const failOpening =
    (openId: number) =>
    (error: unknown): void => {
      const { code, details } =
        error instanceof AppError ? error : { code: 'port-failed' as const, details: {} };
      channel.post({ type: 'openFailed', openId, code, message: messageOf(error), details });
    };
  const failPlainly = (error: unknown): void => {
    throw error;
  };

  channel.onCommand((command) => {
    switch (command.type) {
      case 'listPorts':
        portWork(
          async () => {
            channel.post({ type: 'ports', requestId: command.requestId, ports: await ports.list() });
          },
          (error) => {
            channel.post({ type: 'portsFailed', requestId: command.requestId, message: messageOf(error) });
          },
        );
        return;
      case 'open':
        portWork(
          () => openPort(command.openId, command.source, command.profile),
          failOpening(command.openId),
        );
        return;
      case 'listen':
        portWork(() => listen(command.openId, command.path, command.baudRate), failOpening(command.openId));
        return;
      case 'close':
        portWork(closeOpenPort, failPlainly);
        return;
      case 'sendText':
        void open?.port.send(command.text);
        return;
      case 'breakSegment':
        open?.breakSegment();
        return;
      case 'startCapture':
        captureWork(
          () => startCapture(command),
          (error) => {
            channel.post({ type: 'captureChanged', bytes: 0, error: explainFailure(error), isEnded: true });
          },
        );
        return;
      case 'stopCapture':
        captureWork(stopCapture, failPlainly);
        return;
      case 'takeRecentBytes':
        channel.post({
          type: 'recentBytes',
          requestId: command.requestId,
          capture: recent.takeCapture(clock.now(), clock.monotonicUs()),
        });
        return;
      case 'acknowledge':
        queue.acknowledge(command.takenBytes);
        return;
      case 'pull':
        open?.simulated?.pull(command.pull);
        return;
      case 'push':
        open?.simulated?.pushByHand(command.torqueNm, command.durationS);
        return;
      case 'hang':
        open?.simulated?.hang(command.torqueNm);
        return;
      default:
    }
  });
}

type Turns = (work: () => Promise<void>, onFailure: (error: unknown) => void) => void;

/** Each piece of work begins when the one before it is over. */
function createTurns(): Turns {
  let last = Promise.resolve();
  return (work, onFailure) => {
    last = last.then(work).catch(onFailure);
  };
}

function messageOf(error: unknown): string {
  return error instanceof Error ? error.message : String(error);
}
