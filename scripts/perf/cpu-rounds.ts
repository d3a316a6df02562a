import { setFlagsFromString } from 'node:v8';
import { runInNewContext } from 'node:vm';

/** Processor time of one call in ms, of each round, of what is measured and of its baseline. */
export interface RoundsInTurn {
  readonly ownMs: readonly number[];
  readonly bareMs: readonly number[];
}

/** What is short is done again and again: the system counts processor time in steps, and chance falls on what is short. */
const LEAST_ROUND_MS = 200;

setFlagsFromString('--expose-gc');
const collectGarbage = runInNewContext('gc') as () => void;

/** What is measured and its baseline by turns, so that what else the machine does falls on both. */
export async function measureInTurn(
  own: () => unknown,
  bare: () => unknown,
  rounds: number,
): Promise<RoundsInTurn> {
  const ownMs: number[] = [];
  const bareMs: number[] = [];
  for (let round = 0; round < rounds; round += 1) {
    ownMs.push(await cpuMsAlone(own));
    bareMs.push(await cpuMsAlone(bare));
  }
  return { ownMs, bareMs };
}

/** Alone: what others left behind is collected first; calls are slower for a while after that, so a first round is not counted. */
export async function cpuMsAlone(work: () => unknown): Promise<number> {
  collectGarbage();
  await cpuMsOf(work);
  return cpuMsOf(work);
}

/** All threads of the process. */
async function cpuMsOf(work: () => unknown): Promise<number> {
  const startedMs = performance.now();
  const before = process.cpuUsage();
  let count = 0;
  do {
    await work();
    count += 1;
  } while (performance.now() - startedMs < LEAST_ROUND_MS);
  const { user, system } = process.cpuUsage(before);
  return (user + system) / 1000 / count;
}
