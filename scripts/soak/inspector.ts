import WebSocket from 'ws';

/** What of a Node process is asked for while it runs, over its inspector; nothing of it is switched on between two looks. */
export interface NodeMemory {
  readonly pid: number;
  readonly heapBytes: number;
  /** Buffers outside of the heap. */
  readonly outsideBytes: number;
}

interface Answer {
  readonly id: number;
  readonly result?: unknown;
  readonly error?: { readonly message: string };
}

/**
 * What the process behind this address holds, after a collection of its garbage where that is wanted of it. Errors: where it does
 * not answer.
 */
export async function lookAtMemory(
  inspectorUrl: string,
  isCollected: (pid: number) => boolean,
): Promise<NodeMemory> {
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
  const valueOf = async (expression: string): Promise<unknown> => {
    const { result } = (await ask('Runtime.evaluate', { expression, returnByValue: true })) as {
      readonly result: { readonly value: unknown };
    };
    return result.value;
  };
  try {
    const pid = Number(await valueOf('process.pid'));
    if (isCollected(pid)) await ask('HeapProfiler.collectGarbage');
    const used = (await valueOf('process.memoryUsage()')) as {
      readonly heapUsed: number;
      readonly external: number;
    };
    return { pid, heapBytes: used.heapUsed, outsideBytes: used.external };
  } finally {
    socket.close();
  }
}

function textOf(data: WebSocket.RawData): string {
  if (Array.isArray(data)) return Buffer.concat(data).toString('utf8');
  return (data instanceof ArrayBuffer ? Buffer.from(data) : data).toString('utf8');
}
