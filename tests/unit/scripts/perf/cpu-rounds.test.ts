import { describe, expect, it } from 'vitest';
import { cpuMsAlone, measureInTurn } from '../../../../scripts/perf/cpu-rounds.ts';

/** Longer than a round has to be, so that one call makes one. */
function busy(): void {
  const endMs = performance.now() + 60;
  while (performance.now() < endMs);
}

describe('rounds of what is measured and of its baseline', () => {
  it('take turns, and the first ones are not counted', async () => {
    const calls: string[] = [];
    const side = (name: string) => () => {
      calls.push(name);
      busy();
    };
    const rounds = await measureInTurn(side('own'), side('bare'), { rounds: 2, uncountedRounds: 1 });
    expect(calls).toEqual(['own', 'bare', 'own', 'bare', 'own', 'bare']);
    expect(rounds.ownMs).toHaveLength(2);
    expect(rounds.bareMs).toHaveLength(2);
  });

  it('do what is short again and again, and count the time of one call', async () => {
    let calls = 0;
    const short = () => {
      calls += 1;
    };
    const { ownMs, bareMs } = await measureInTurn(busy, short, { rounds: 1, uncountedRounds: 0 });
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
    expect(await cpuMsAlone(slowAtFirst)).toBeLessThan(200);
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
    await measureInTurn(slow, next, { rounds: 1, uncountedRounds: 0 });
    expect(done).toEqual(['slow', 'next']);
  });
});
