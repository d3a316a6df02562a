import { describe, expect, it } from 'vitest';
import { cpuMsAlone, measureInTurn } from '../../../../scripts/perf/cpu-rounds.ts';

/** Longer than a round has to be, so that one call makes one. */
function busy(): void {
  const endMs = performance.now() + 210;
  while (performance.now() < endMs);
}

describe('rounds of what is measured and of its baseline', () => {
  it('take turns, and the first one of each turn is not counted', async () => {
    const calls: string[] = [];
    const side = (name: string) => () => {
      calls.push(name);
      busy();
    };
    const rounds = await measureInTurn(side('own'), side('bare'), 2);
    expect(calls).toEqual(['own', 'own', 'bare', 'bare', 'own', 'own', 'bare', 'bare']);
    expect(rounds.ownMs).toHaveLength(2);
    expect(rounds.bareMs).toHaveLength(2);
  });

  it('do what is short again and again, and count the time of one call', async () => {
    let calls = 0;
    const short = () => {
      calls += 1;
    };
    const { ownMs, bareMs } = await measureInTurn(busy, short, 1);
    expect(calls).toBeGreaterThan(1);
    expect(Number(bareMs[0])).toBeLessThan(Number(ownMs[0]));
  });

  it('leave the first one out where something is measured alone', async () => {
    let calls = 0;
    const slowAtFirst = () => {
      calls += 1;
      if (calls === 1) for (let time = 0; time < 5; time += 1) busy();
      else busy();
    };
    expect(await cpuMsAlone(slowAtFirst)).toBeLessThan(2 * 210);
    expect(calls).toBeGreaterThan(1);
  });

  it('wait for work that takes its time', async () => {
    const done: string[] = [];
    const slow = async () => {
      await Promise.resolve();
      busy();
      done.push('slow');
    };
    const next = () => {
      done.push('next');
      busy();
    };
    await measureInTurn(slow, next, 1);
    expect(done).toEqual(['slow', 'slow', 'next', 'next']);
  });
});
