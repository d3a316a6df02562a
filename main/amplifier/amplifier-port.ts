import type { Readable } from 'node:stream';
import { SerialPort } from 'serialport';
import type { AmplifierProfile } from '../../shared-lib/amplifier/amplifier-profile.ts';
import type { SerialPortInfo } from '../../shared-lib/api-contract.ts';
import { AppError } from '../../shared-lib/app-error.ts';
import { explainPortError } from './explain-port-error.ts';
import { readDirectly } from './read-directly.ts';

/** Where bytes come from. The stream emits 'close' when the port is gone, for whatever reason. */
export interface AmplifierPort {
  readonly bytes: Readable;
  /** Said where the bytes end without an error of their own. */
  readonly endSentence: string;
  /** Sends a text, one byte per character; resolves once it is out, or the port is gone. */
  send(text: string): Promise<void>;
  close(): Promise<void>;
}

export type PortFraming = Pick<AmplifierProfile, 'baudRate' | 'dataBits' | 'stopBits' | 'parity'>;

/** The serial ports of this computer. */
export interface PortAccess {
  list(): Promise<SerialPortInfo[]>;
  open(path: string, framing: PortFraming): Promise<AmplifierPort>;
}

export const systemPorts: PortAccess = { list: listSerialPorts, open: openSerialPort };

/**
 * A tty that hangs up while it is being read can leave the library (13.0.0, Linux) reading nothing for ever, without
 * 'close'. Asking for the baud rate fails once the port is gone and does no harm while it lives.
 */
const HANG_UP_CHECK_MS = 250;

function closeAfterHangUp(port: SerialPort): void {
  const timer = setInterval(() => {
    port.port?.getBaudRate().catch(() => {
      if (port.isOpen && !port.closing) port.close();
    });
  }, HANG_UP_CHECK_MS);
  port.once('close', () => {
    clearInterval(timer);
  });
}

async function openSerialPort(path: string, framing: PortFraming): Promise<AmplifierPort> {
  const { baudRate, dataBits, stopBits, parity } = framing;
  const port = new SerialPort({ path, baudRate, dataBits, stopBits, parity, autoOpen: false });
  await new Promise<void>((resolve, reject) => {
    port.open((error) => {
      if (!error) {
        resolve();
        return;
      }
      const problem = explainPortError(path, error.message, process.platform);
      reject(new AppError(problem.code, problem.message, { path }, error));
    });
  });
  closeAfterHangUp(port);
  readDirectly(port);
  return {
    bytes: port,
    endSentence: 'The port was closed by the system.',
    send: (text) =>
      new Promise((resolve) => {
        port.once('close', resolve);
        // A port that takes no text is lost, which its closing says.
        port.write(Buffer.from(text, 'latin1'), () => {
          if (!port.isOpen) return;
          port.drain(() => {
            port.off('close', resolve);
            resolve();
          });
        });
      }),
    close: () =>
      new Promise((resolve) => {
        if (!port.isOpen) {
          resolve();
          return;
        }
        // Also where the system reports an error: the port is gone then, and whoever waits must not wait for ever.
        port.close(() => {
          resolve();
        });
      }),
  };
}

async function listSerialPorts(): Promise<SerialPortInfo[]> {
  const ports = await SerialPort.list();
  return ports.map((port) => ({
    path: port.path,
    manufacturer: port.manufacturer ?? null,
    serialNumber: port.serialNumber ?? null,
    vendorId: port.vendorId ?? null,
    productId: port.productId ?? null,
  }));
}
