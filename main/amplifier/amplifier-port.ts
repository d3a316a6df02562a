import type { Readable } from 'node:stream';
import { SerialPort } from 'serialport';
import type { AmplifierProfile } from '../../shared-lib/amplifier/amplifier-profile.ts';
import type { SerialPortInfo } from '../../shared-lib/api-contract.ts';
import { AppError } from '../../shared-lib/app-error.ts';
import { explainPortError } from './explain-port-error.ts';

/** Where bytes come from. The stream emits 'close' when the port is gone, for whatever reason. */
export interface AmplifierPort {
  readonly bytes: Readable;
  close(): Promise<void>;
}

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

export async function openSerialPort(path: string, profile: AmplifierProfile): Promise<AmplifierPort> {
  const port = new SerialPort({
    path,
    baudRate: profile.baudRate,
    dataBits: profile.dataBits,
    stopBits: profile.stopBits,
    parity: profile.parity,
    autoOpen: false,
  });
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
  return {
    bytes: port,
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

export async function listSerialPorts(): Promise<SerialPortInfo[]> {
  const ports = await SerialPort.list();
  return ports.map((port) => ({
    path: port.path,
    manufacturer: port.manufacturer ?? null,
    serialNumber: port.serialNumber ?? null,
    vendorId: port.vendorId ?? null,
    productId: port.productId ?? null,
  }));
}
