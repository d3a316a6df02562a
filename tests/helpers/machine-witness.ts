import { open } from 'node:fs/promises';
import { performance } from 'node:perf_hooks';

/** From so long a hold-up on, a figure in milliseconds says more about the machine than about the program. */
const HOLD_UP_MS = 25;
const LOOK_BACK_MS = 1500;
const PROBE_MS = 20;

export interface MachineWitness {
  /** Whether, within the last 1.5 s, a timer or a synced write of this process was held up. */
  wasHeldUp(): boolean;
  /** Over the whole time of watching. */
  longestHoldUpMs(): number;
  stop(): Promise<void>;
}

/** Watches timers and synced writes beside the program under test, on the same processors and the same disk. */
export async function startMachineWitness(filePath: string): Promise<MachineWitness> {
  const file = await open(filePath, 'w');
  const holdUps: number[] = [];
  let last = performance.now();
  let syncing: Promise<void> | null = null;
  let longestMs = 0;
  const note = (delayMs: number): void => {
    longestMs = Math.max(longestMs, delayMs);
    if (delayMs >= HOLD_UP_MS) holdUps.push(performance.now());
  };
  const sync = async (): Promise<void> => {
    const began = performance.now();
    await file.write('x', 0);
    await file.datasync();
    note(performance.now() - began);
    syncing = null;
  };
  const timer = setInterval(() => {
    note(performance.now() - last - PROBE_MS);
    last = performance.now();
    syncing ??= sync();
  }, PROBE_MS);
  return {
    wasHeldUp: () => holdUps.some((at) => performance.now() - at <= LOOK_BACK_MS),
    longestHoldUpMs: () => longestMs,
    async stop() {
      clearInterval(timer);
      await syncing;
      await file.close();
    },
  };
}
