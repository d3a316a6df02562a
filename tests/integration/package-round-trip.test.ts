import { createHash } from 'node:crypto';
import { readFileSync } from 'node:fs';
import { join } from 'node:path';
import { unzipSync } from 'fflate';
import { afterAll, beforeAll, describe, expect, it } from 'vitest';
import { packageTables, tableFile } from '../../shared-lib/package/package-tables.ts';
import { createPackageBench, type PackageBench } from './package-support/package-bench.ts';
import { fillFullBench, lostAtEnd } from './package-support/full-bench.ts';

/** Export, import into an empty program, export again: nothing may be lost on the way, and nothing added. */
let benchA: PackageBench;
let benchB: PackageBench;
let first: Readonly<Record<string, Uint8Array>>;

beforeAll(async () => {
  benchA = createPackageBench({ id: 'bench-a', name: 'Bench A' });
  benchB = createPackageBench({ id: 'bench-b', name: 'Bench B' });
  await fillFullBench(benchA.database);
  const file = await benchA.write('first.zip');
  first = unzipSync(readFileSync(file));
  await benchB.takeIn(file);
}, 120_000);

afterAll(() => {
  benchA.remove();
  benchB.remove();
});

describe('a package of everything', () => {
  it('has rows in every table that travels', () => {
    for (const { name } of packageTables) {
      const lines = Buffer.from(first[tableFile(name)] ?? [])
        .toString('utf8')
        .split('\r\n');
      expect(lines.length, name).toBeGreaterThan(2);
    }
  });

  it('is the same, byte for byte, from the bench that took it in', async () => {
    const second = unzipSync(readFileSync(await benchB.write('second.zip')));
    expect(Object.keys(second).toSorted()).toEqual(Object.keys(first).toSorted());
    const isMeasured = (path: string): boolean => /^(?:data|tables|photos)\//.test(path);
    for (const path of Object.keys(first).filter(isMeasured)) {
      expect(sha256(second[path]), path).toBe(sha256(first[path]));
    }
  });

  it('keeps lost slots lost, those at the end of a record too', () => {
    const counts = Buffer.from(first[`data/counts/${lostAtEnd.trialId}.csv`] ?? []).toString('utf8');
    const slots = counts
      .trim()
      .split('\r\n')
      .slice(1)
      .map((line) => Number(line.split(',')[0]));
    expect(slots).toEqual([0, 1, 4, 5, 6]);
    const stored = benchB.database
      .prepare(
        'SELECT sum(slot_count) AS slots, sum(lost_slot_count) AS lost FROM raw_block WHERE trial_id = ?',
      )
      .get(lostAtEnd.trialId);
    expect(stored).toEqual({ slots: lostAtEnd.slotCount, lost: lostAtEnd.lost.length });
  });

  it('says nothing of ports, serial numbers and settings', () => {
    const text = Object.values(first)
      .map((bytes) => Buffer.from(bytes).toString('latin1'))
      .join('\n');
    expect(text).not.toContain('secret');
    expect(Object.keys(first)).not.toContain('data/setting.csv');
  });

  it('brings nothing new when it is taken in again', async () => {
    const countAll = (): unknown =>
      packageTables
        .filter(({ name }) => name !== 'origin')
        .map(({ name }) => [name, benchB.database.prepare(`SELECT count(*) FROM ${name}`).pluck().get()]);
    const before = countAll();
    const preview = await benchB.preview(join(benchA.folder, 'first.zip'));
    expect(preview.conflicts).toEqual([]);
    expect([preview.trials.newCount, preview.tools.newCount, preview.calibrations.newCount]).toEqual([
      0, 0, 0,
    ]);
    const taken = await benchB.takeIn(join(benchA.folder, 'first.zip'));
    expect(taken.sentence).toContain('Nothing new');
    expect(countAll()).toEqual(before);
  });

  it('is known again by the bench that made it', async () => {
    const preview = await benchA.preview(join(benchA.folder, 'first.zip'));
    expect(preview.conflicts).toEqual([]);
    expect(preview.trials.newCount).toBe(0);
    expect(preview.isOwnBench).toBe(true);
    expect(preview.remarks.join(' ')).toContain('This package says that it comes from this very bench.');
  });
});

function sha256(bytes: Uint8Array | undefined): string {
  return createHash('sha256')
    .update(bytes ?? new Uint8Array())
    .digest('hex');
}
