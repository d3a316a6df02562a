import { ReadlineParser } from '@serialport/parser-readline';
import {
  createAmplifierStreamDecoder,
  type AmplifierStreamDecoder,
} from '../../shared-lib/amplifier/amplifier-stream-decoder.ts';
import type { AmplifierProfile } from '../../shared-lib/amplifier/amplifier-profile.ts';
import { AppError } from '../../shared-lib/app-error.ts';
import type { Clock } from '../platform/clock.ts';
import { listSerialPorts, openSerialPort, type AmplifierPort } from './amplifier-port.ts';
import { LineLengthGuard } from './line-length-guard.ts';
import type { PortSource, ReaderCommand, ReaderReport } from './reader-protocol.ts';
import { SimulatedAmplifierPort } from './simulated-amplifier-port.ts';

/**
 * How often blocks go to main: short enough that under 100 ms of samples are ever on the way to the disk, long enough that
 * messages cost little beside lines.
 */
const REPORT_INTERVAL_MS = 20;

interface OpenPort {
  readonly openId: number;
  readonly port: AmplifierPort;
  readonly decoder: AmplifierStreamDecoder;
  readonly simulated: SimulatedAmplifierPort | null;
  readonly reportTimer: NodeJS.Timeout;
}

export interface ReaderChannel {
  post(report: ReaderReport): void;
  onCommand(listener: (command: ReaderCommand) => void): void;
}

/** The reader process: one port at a time, its bytes decoded and passed on in blocks. */
export function runReader(channel: ReaderChannel, clock: Clock): void {
  let open: OpenPort | null = null;

  const reportData = (current: OpenPort): void => {
    const batch = current.decoder.take();
    if (batch) channel.post({ type: 'data', openId: current.openId, ...batch, handedOverBytes: 0 });
  };

  const closeOpenPort = async (): Promise<void> => {
    const closing = open;
    if (!closing) return;
    open = null;
    await closing.port.close();
    clearInterval(closing.reportTimer);
    reportData(closing);
    channel.post({ type: 'closed', openId: closing.openId, message: null });
  };

  const openPort = async (openId: number, source: PortSource, profile: AmplifierProfile): Promise<void> => {
    await closeOpenPort();
    const decoder = createAmplifierStreamDecoder(profile);
    const { port, simulated } = await openSource(source, profile);
    const guard = new LineLengthGuard(profile.lineEnding, (text) => {
      decoder.countUnreadable(text);
    });
    const parser = new ReadlineParser({ delimiter: profile.lineEnding, encoding: 'latin1' });
    // Stamped when bytes arrive, not when a line is complete: all lines of a chunk were there at the same time.
    let arrivalUs = clock.monotonicUs();
    port.bytes.on('data', () => {
      arrivalUs = clock.monotonicUs();
    });
    parser.on('data', (line: string) => {
      decoder.push(line, arrivalUs);
    });
    port.bytes.pipe(guard).pipe(parser);

    const current: OpenPort = {
      openId,
      port,
      decoder,
      simulated,
      reportTimer: setInterval(() => {
        reportData(current);
      }, REPORT_INTERVAL_MS),
    };
    let lossMessage: string | null = null;
    port.bytes.on('error', (error: Error) => {
      lossMessage = error.message;
    });
    port.bytes.on('close', () => {
      if (open !== current) return;
      open = null;
      clearInterval(current.reportTimer);
      reportData(current);
      channel.post({ type: 'closed', openId, message: lossMessage ?? 'The port was closed by the system.' });
    });
    open = current;
    channel.post({
      type: 'opened',
      openId,
      path: source.kind === 'serial' ? source.path : null,
      usb: null,
    });
  };

  // One command at a time: an opening must not overtake the closing before it.
  let queue = Promise.resolve();
  const inOrder = (work: () => Promise<void>, onFailure: (error: unknown) => void): void => {
    queue = queue.then(work).catch(onFailure);
  };

  channel.onCommand((command) => {
    switch (command.type) {
      case 'listPorts':
        inOrder(
          async () => {
            channel.post({ type: 'ports', requestId: command.requestId, ports: await listSerialPorts() });
          },
          (error) => {
            channel.post({ type: 'portsFailed', requestId: command.requestId, message: messageOf(error) });
          },
        );
        return;
      case 'open':
        inOrder(
          () => openPort(command.openId, command.source, command.profile),
          (error) => {
            const code = error instanceof AppError ? error.code : 'port-failed';
            channel.post({
              type: 'openFailed',
              openId: command.openId,
              code,
              message: messageOf(error),
              details: {},
            });
          },
        );
        return;
      case 'close':
        inOrder(closeOpenPort, (error) => {
          throw error;
        });
        return;
      case 'pull':
        open?.simulated?.pull(command.pull);
        return;
      case 'push':
        open?.simulated?.pushByHand(command.torqueNm, command.durationS);
        return;
      default:
    }
  });
}

function messageOf(error: unknown): string {
  return error instanceof Error ? error.message : String(error);
}

async function openSource(
  source: PortSource,
  profile: AmplifierProfile,
): Promise<{ port: AmplifierPort; simulated: SimulatedAmplifierPort | null }> {
  if (source.kind === 'serial') return { port: await openSerialPort(source.path, profile), simulated: null };
  if (source.kind === 'replayed') throw new AppError('port-not-found', 'Captures are not played yet.');
  const simulated = new SimulatedAmplifierPort(source.options, profile);
  return { port: { bytes: simulated, close: () => simulated.closePort() }, simulated };
}
