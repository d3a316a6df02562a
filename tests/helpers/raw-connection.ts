import net from 'node:net';

/** A TCP connection to 127.0.0.1 that sends exactly what a test says, which no library for HTTP would. */
export interface RawConnection {
  send(text: string): void;
  /** All that has come so far. */
  received(): string;
  /** Resolves with all that came when the other side has hung up, or has reset the connection. */
  readonly ended: Promise<string>;
  /** Takes nothing more out of the system's buffer. */
  stopReading(): void;
  readOn(): void;
  destroy(): void;
}

export function connectRaw(port: number): Promise<RawConnection> {
  return new Promise((resolve, reject) => {
    const socket = net.connect({ host: '127.0.0.1', port });
    let text = '';
    socket.setEncoding('utf8');
    socket.on('data', (chunk: string) => (text += chunk));
    const ended = new Promise<string>((settle) => {
      socket.on('close', () => {
        settle(text);
      });
    });
    socket.on('error', reject);
    socket.on('connect', () => {
      resolve({
        send: (sent) => socket.write(sent),
        received: () => text,
        ended,
        stopReading: () => socket.pause(),
        readOn: () => socket.resume(),
        destroy: () => socket.destroy(),
      });
    });
  });
}

/** Sends a request as it is written and returns all that comes until the other side hangs up. */
export async function sendRaw(port: number, text: string): Promise<string> {
  const connection = await connectRaw(port);
  connection.send(text);
  return connection.ended;
}
