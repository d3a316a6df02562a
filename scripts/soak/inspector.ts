import WebSocket from 'ws';

/** A question to what can be inspected, a Node process or a browser (Chrome DevTools Protocol). Errors: where it is answered with one. */
export type Ask = (method: string, params?: object, sessionId?: string) => Promise<unknown>;

export interface Inspector {
  readonly ask: Ask;
  close(): void;
}

interface Answer {
  readonly id: number;
  readonly result?: unknown;
  readonly error?: { readonly message: string };
}

/** Errors: where nobody answers at that address. */
export async function openInspector(url: string): Promise<Inspector> {
  const socket = new WebSocket(url);
  await new Promise<void>((resolve, reject) => {
    socket.once('open', () => {
      resolve();
    });
    socket.once('error', reject);
  });
  let lastId = 0;
  return {
    ask(method, params = {}, sessionId) {
      const id = ++lastId;
      socket.send(JSON.stringify({ id, method, params, ...(sessionId === undefined ? {} : { sessionId }) }));
      return new Promise((resolve, reject) => {
        const take = (data: WebSocket.RawData): void => {
          const answer = JSON.parse(textOf(data)) as Answer;
          if (answer.id !== id) return;
          socket.off('message', take);
          if (answer.error) reject(new Error(`${method}: ${answer.error.message}`));
          else resolve(answer.result);
        };
        socket.on('message', take);
      });
    },
    close() {
      socket.close();
    },
  };
}

export async function valueOf(ask: Ask, expression: string, sessionId?: string): Promise<unknown> {
  const { result } = (await ask('Runtime.evaluate', { expression, returnByValue: true }, sessionId)) as {
    readonly result: { readonly value: unknown };
  };
  return result.value;
}

function textOf(data: WebSocket.RawData): string {
  if (Array.isArray(data)) return Buffer.concat(data).toString('utf8');
  return (data instanceof ArrayBuffer ? Buffer.from(data) : data).toString('utf8');
}
