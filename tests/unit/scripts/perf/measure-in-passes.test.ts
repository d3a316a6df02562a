import { describe, expect, it } from 'vitest';
import type { Figure } from '../../../../scripts/measured-figures.ts';
import { measureInPasses } from '../../../../scripts/perf/measure-in-passes.ts';
import type { PrepareMeasurement } from '../../../../scripts/perf/perf-run.ts';

const say = (): void => undefined;

function counted(name: string, done: string[], failure?: Error): readonly [string, PrepareMeasurement] {
  let passes = 0;
  const figure = (value: number): Figure => ({ value, unit: '', baseline: 1, limit: 9, met: true, note: '' });
  return [
    name,
    () => {
      done.push(`prepare ${name}`);
      return Promise.resolve({
        pass() {
          passes += 1;
          done.push(`${name} ${passes}`);
          return failure === undefined ? Promise.resolve() : Promise.reject(failure);
        },
        figures: () => ({ [`${name}.passes`]: figure(passes) }),
        end() {
          done.push(`end ${name}`);
        },
      });
    },
  ];
}

describe('measurements in passes', () => {
  it('are all prepared before one is taken, and taken by turns five times', async () => {
    const done: string[] = [];
    const figures = await measureInPasses([counted('a', done), counted('b', done)], { say, form: 'full' });
    expect(done).toEqual([
      ...['prepare a', 'prepare b'],
      ...[1, 2, 3, 4, 5].flatMap((pass) => [`a ${pass}`, `b ${pass}`]),
      ...['end a', 'end b'],
    ]);
    expect(figures).toMatchObject({ 'a.passes': { value: 5 }, 'b.passes': { value: 5 } });
  });

  it('are taken once in the short form', async () => {
    const figures = await measureInPasses([counted('a', [])], { say, form: 'short' });
    expect(figures).toMatchObject({ 'a.passes': { value: 1 } });
  });

  it('leave nothing behind where one of them fails', async () => {
    const done: string[] = [];
    const failure = new Error('No port');
    const measured = measureInPasses([counted('a', done), counted('b', done, failure)], {
      say,
      form: 'full',
    });
    await expect(measured).rejects.toBe(failure);
    expect(done.slice(-2)).toEqual(['end a', 'end b']);
  });
});
