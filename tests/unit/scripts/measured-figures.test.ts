import { describe, expect, it } from 'vitest';
import {
  type Figure,
  measureAndReport,
  measureOneByOne,
  tableOf,
} from '../../../scripts/measured-figures.ts';

const figure: Figure = { value: 12.5, unit: 'ms', baseline: 4, limit: 20, met: true, note: 'how' };

describe('measured figures', () => {
  it('stand in one table with their columns aligned, and a miss is called a miss', () => {
    expect(tableOf({ P1: figure, 'P2.page': { ...figure, value: 3, limit: 1, met: false } })).toEqual([
      'P1       met     12.5  limit 20  baseline 4  ms',
      'P2.page  MISSED  3     limit 1   baseline 4  ms',
    ]);
  });

  it('say of how many rounds they are the median, and how far these lie apart', () => {
    const spread = { rounds: 9, least: 11, greatest: 14, halvesPercent: 3.1 };
    expect(tableOf({ P1: { ...figure, spread } })).toEqual([
      'P1  met  12.5  limit 20  baseline 4  [9 rounds 11 to 14, halves differ by 3.1 %]  ms',
    ]);
    expect(tableOf({ P1: { ...figure, spread: { ...spread, halvesPercent: null } } })).toEqual([
      'P1  met  12.5  limit 20  baseline 4  [9 rounds 11 to 14]  ms',
    ]);
  });

  it('are not kept as a report of everything where not all was asked for', async () => {
    const kept: unknown[] = [];
    await measureAndReport({
      folder: 'perf',
      wanted: ['P1'],
      machine: () => Promise.resolve({}),
      say: () => undefined,
      measure: (chosen) => measureOneByOne(chosen, () => undefined),
      measurements: { P1: { measure: () => Promise.resolve({ P1: figure }) } },
      keep: (all) => {
        kept.push(all);
        return Promise.resolve();
      },
    });
    expect(kept).toEqual([]);
  });

  it('say how a missed figure was measured, and write no file when not all was measured', async () => {
    const said: string[] = [];
    await measureAndReport({
      folder: 'perf',
      wanted: ['P1'],
      machine: () => Promise.reject(new Error('A part of a report was written')),
      say: (line) => said.push(line),
      measure: (chosen) => measureOneByOne(chosen, () => undefined),
      measurements: {
        P1: { measure: () => Promise.resolve({ P1: { ...figure, met: false } }) },
        P2: { measure: () => Promise.reject(new Error('This one was not asked for')) },
      },
    });
    expect(said.join('\n')).toContain('P1 missed: how');
    expect(said.at(-1)).toContain('left as it was');
  });

  it('are refused under a name that does not exist', async () => {
    const report = measureAndReport({
      folder: 'perf',
      wanted: ['P99'],
      machine: () => Promise.resolve({}),
      say: () => undefined,
      measure: (chosen) => measureOneByOne(chosen, () => undefined),
      measurements: { P1: { measure: () => Promise.resolve({}) } },
    });
    await expect(report).rejects.toThrow('There is no figure P99; there are P1.');
  });
});
