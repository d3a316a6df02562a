import fc from 'fast-check';
import { describe, expect, it } from 'vitest';
import {
  type Backup,
  type BackupRule,
  defaultBackupRule,
} from '../../../../shared-lib/backup/backup-requests.ts';
import { thinOut } from '../../../../shared-lib/backup/thin-out.ts';

const start = Date.UTC(2026, 0, 1, 12);

function backup(day: number, why: Backup['why'] = 'daily'): Backup {
  const madeAt = new Date(start + day * 86_400_000).toISOString();
  const fileName = `${madeAt}-${why}`;
  return {
    fileName,
    path: `/backups/${fileName}`,
    bytes: 1,
    madeAt,
    why,
    benchName: 'Bench 1',
    trialCount: 0,
  };
}

const utcDay = (instant: string): string => instant.slice(0, 10);

const rule: BackupRule = { ...defaultBackupRule, keepDays: 3, keepWeeks: 2, keepMonths: 2 };

const anyBackups = fc
  .uniqueArray(fc.integer({ min: 0, max: 800 }), { minLength: 1, maxLength: 80 })
  .chain((days) =>
    fc.tuple(
      ...days.map((day) =>
        fc.constantFrom<Backup['why'][]>('daily', 'asked', 'beforeRestore').map((why) => backup(day, why)),
      ),
    ),
  );
const anyRule = fc.record({
  isDaily: fc.boolean(),
  keepDays: fc.integer({ min: 1, max: 10 }),
  keepWeeks: fc.integer({ min: 0, max: 10 }),
  keepMonths: fc.integer({ min: 0, max: 10 }),
  alsoInFolder: fc.constant(null),
});

describe('thinning out backups', () => {
  it('keeps the last days, then one a week, then one a month', () => {
    // Every day from 1 January to 31 March 2026, a Tuesday.
    const days = [...Array(90).keys()].map((day) => backup(day));
    const gone = new Set(thinOut(days, rule, utcDay));
    expect(days.filter((one) => !gone.has(one)).map(({ madeAt }) => madeAt.slice(0, 10))).toEqual([
      '2026-02-28',
      '2026-03-29',
      '2026-03-30',
      '2026-03-31',
    ]);
  });

  it('goes by the days of the place where the bench stands', () => {
    // Eight hours behind UTC: Monday at 17:00 and Tuesday at 10:00 have one day there in UTC, and two here.
    const [monday, tuesday] = ['2026-03-03T01:00:00.000Z', '2026-03-03T18:00:00.000Z'].map((madeAt) => ({
      ...backup(0),
      madeAt,
    }));
    if (monday === undefined || tuesday === undefined) throw new Error('Two were made');
    const pacificDay = (instant: string): string =>
      new Date(Date.parse(instant) - 8 * 3_600_000).toISOString().slice(0, 10);
    expect(thinOut([monday, tuesday], rule, pacificDay)).toEqual([]);
    expect(thinOut([monday, tuesday], rule, utcDay)).toEqual([monday]);
  });

  it('never takes one that somebody asked for or that a restore made, nor the newest', () => {
    fc.assert(
      fc.property(anyBackups, anyRule, (backups, some) => {
        const gone = thinOut(backups, some, utcDay);
        expect(gone.every(({ why }) => why === 'daily')).toBe(true);
        const newest = [...backups].sort((a, b) => a.madeAt.localeCompare(b.madeAt)).at(-1);
        expect(gone).not.toContain(newest);
      }),
    );
  });

  it('takes nothing more when it is done once more', () => {
    fc.assert(
      fc.property(anyBackups, anyRule, (backups, some) => {
        const gone = new Set(thinOut(backups, some, utcDay));
        expect(
          thinOut(
            backups.filter((one) => !gone.has(one)),
            some,
            utcDay,
          ),
        ).toEqual([]);
      }),
    );
  });
});
