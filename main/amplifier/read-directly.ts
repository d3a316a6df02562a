import { readSync } from 'node:fs';
import type { SerialPort } from 'serialport';

type PortBinding = NonNullable<SerialPort['port']>;
type UnixBinding = Extract<PortBinding, { poller: unknown }>;

/**
 * Reads an open port on the thread that waits for it. The library (13.0.0) hands each read to a pool of threads: for 100 000
 * lines a second that is a third of what reading costs, and twice a wait for a turn while the port's buffer fills up.
 *
 * To be called before anything listens to the port. Windows has no such reads; there the library's stay.
 */
export function readDirectly(port: SerialPort): void {
  const binding = port.port;
  if (!binding || !isUnix(binding)) return;
  const readByLibrary = binding.read.bind(binding);
  binding.read = async (buffer, offset, length) => {
    await untilReadable(binding);
    const bytesRead = binding.fd === null ? 0 : readWhatIsThere(binding.fd, buffer, offset, length);
    // Nothing there, closed, hung up or broken: the library knows how to wait, and how to say it.
    return bytesRead > 0 ? { bytesRead, buffer } : readByLibrary(buffer, offset, length);
  };
}

function isUnix(binding: PortBinding): binding is UnixBinding {
  return 'poller' in binding;
}

function untilReadable({ poller }: UnixBinding): Promise<void> {
  return new Promise((resolve, reject) => {
    poller.once('readable', (error: Error | null) => {
      if (error) reject(error);
      else resolve();
    });
  });
}

/** The port was opened so that a read never waits; 0 where it fails. */
function readWhatIsThere(fd: number, buffer: Buffer, offset: number, length: number): number {
  try {
    return readSync(fd, buffer, offset, length, null);
  } catch {
    // Read once more by the library, which reports what it is.
    return 0;
  }
}
