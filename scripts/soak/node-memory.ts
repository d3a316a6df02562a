import { openInspector, valueOf } from './inspector.ts';

/** What of a Node process is asked for while it runs; nothing of it is switched on between two looks. */
export interface NodeMemory {
  readonly pid: number;
  readonly heapBytes: number;
  /** Buffers outside of the heap. */
  readonly outsideBytes: number;
}

/** What the process behind this address holds, after a collection of its garbage where that is wanted of it. */
export async function lookAtMemory(
  inspectorUrl: string,
  isCollected: (pid: number) => boolean,
): Promise<NodeMemory> {
  const inspector = await openInspector(inspectorUrl);
  const { ask } = inspector;
  try {
    const pid = Number(await valueOf(ask, 'process.pid'));
    if (isCollected(pid)) await ask('HeapProfiler.collectGarbage');
    const used = (await valueOf(ask, 'process.memoryUsage()')) as {
      readonly heapUsed: number;
      readonly external: number;
    };
    return { pid, heapBytes: used.heapUsed, outsideBytes: used.external };
  } finally {
    inspector.close();
  }
}
