import type { Backup, BackupRule } from './backup-requests.ts';

/**
 * Which backups are to go: of the automatic ones all but the newest of each of the last days, weeks and months that have one. One
 * that somebody asked for, or that a restore made, is never among them, nor is the newest of all.
 *
 * `dayOf`: the day of an instant where the bench stands, as YYYY-MM-DD.
 */
export function thinOut(
  backups: readonly Backup[],
  rule: BackupRule,
  dayOf: (instant: string) => string,
): Backup[] {
  const newestFirst = [...backups].sort((a, b) => (a.madeAt < b.madeAt ? 1 : -1));
  const daily = newestFirst.filter(({ why }) => why === 'daily');
  const kept = new Set<Backup>([
    ...newestOfEach(daily, rule.keepDays, ({ madeAt }) => dayOf(madeAt)),
    ...newestOfEach(daily, rule.keepWeeks, ({ madeAt }) => weekOf(dayOf(madeAt))),
    ...newestOfEach(daily, rule.keepMonths, ({ madeAt }) => dayOf(madeAt).slice(0, 7)),
    ...newestFirst.slice(0, 1),
  ]);
  return daily.filter((backup) => !kept.has(backup));
}

function newestOfEach(
  newestFirst: readonly Backup[],
  count: number,
  periodOf: (backup: Backup) => string,
): Backup[] {
  const newest = new Map<string, Backup>();
  for (const backup of newestFirst) {
    const period = periodOf(backup);
    if (newest.size === count && !newest.has(period)) break;
    if (!newest.has(period)) newest.set(period, backup);
  }
  return [...newest.values()];
}

/** Days from a Monday on; which number it has does not matter. */
function weekOf(date: string): string {
  const [year = 0, month = 1, day = 1] = date.split('-').map(Number);
  return String(Math.floor(dayNumber(year, month, day) / 7));
}

/** Days since a Monday of long ago, by the Gregorian calendar (the usual count from 1 March, so that a leap day comes last). */
function dayNumber(year: number, month: number, day: number): number {
  const shiftedYear = month > 2 ? year : year - 1;
  const shiftedMonth = (month + 9) % 12;
  const leapDays =
    Math.floor(shiftedYear / 4) - Math.floor(shiftedYear / 100) + Math.floor(shiftedYear / 400);
  return 365 * shiftedYear + leapDays + Math.floor((153 * shiftedMonth + 2) / 5) + day + 1;
}
