import WebSocket from 'ws';

/** What of a Node process is asked for while it runs, over its inspector; nothing of it is switched on between two looks. */
export interface NodeMemory {
  readonly pid: number;
  /** After a collection of garbage. */
  readonly heapBytes: number;
  /** Buffers outside of the heap. */
  readonly outsideBytes: number;
}

interface Answer {
  readonly id: number;
  readonly result?: unknown;
  readonly error?: { readonly message: string };
}

/** Collects the garbage of the process behind this address and says what is left. Errors: where it does not answer. */
export async function lookAtMemory(inspectorUrl: string): Promise<NodeMemory> {
  const socket = new WebSocket(inspectorUrl);
  await new Promise<void>((resolve, reject) => {
    socket.once('open', () => {
      resolve();
    });
    socket.once('error', reject);
  });
  let lastId = 0;
  const ask = (method: string, params: object = {}): Promise<unknown> => {
    const id = ++lastId;
    socket.send(JSON.stringify({ id, method, params }));
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
  };
  try {
    await ask('HeapProfiler.collectGarbage');
    const { result } = (await ask('Runtime.evaluate', {
      expression: 'JSON.stringify({ pid: process.pid, ...process.memoryUsage() })',
    })) as { readonly result: { readonly value: string } };
    const used = JSON.parse(result.value) as {
      readonly pid: number;
      readonly heapUsed: number;
      readonly external: number;
    };
    return { pid: used.pid, heapBytes: used.heapUsed, outsideBytes: used.external };
  } finally {
    socket.close();
  }
}

function textOf(data: WebSocket.RawData): string {
  if (Array.isArray(data)) return Buffer.concat(data).toString('utf8');
  return (data instanceof ArrayBuffer ? Buffer.from(data) : data).toString('utf8');
}
