/** Instants and days as texts: this part has no clock, and an instant in universal time has what is needed in its letters. */
const instantText = /^(\d{4})-(\d{2})-(\d{2})T(\d{2}):(\d{2}):(\d{2})(?:\.(\d{3}))?Z$/;

/** Milliseconds since 1970 of an instant such as 2026-02-20T09:00:00.000Z; null: it is none. */
export function millisecondsOf(instant: string): number | null {
  const match = instantText.exec(instant);
  if (match === null) return null;
  const [year = 0, month = 0, day = 0, hour = 0, minute = 0, second = 0, ms = 0] = match
    .slice(1)
    .map((part: string | undefined) => Number(part ?? 0));
  return (((daysSince1970(year, month, day) * 24 + hour) * 60 + minute) * 60 + second) * 1000 + ms;
}

/** The days that it can have been at an instant, somewhere on earth: first that of universal time. */
export function daysAt(instant: string): string[] {
  const ms = millisecondsOf(instant);
  if (ms === null) return [instant.slice(0, 10)];
  const hours = (count: number): string => dayOf(Math.floor((ms + count * 3_600_000) / 86_400_000));
  // Local times reach from 12 hours behind to 14 ahead (common knowledge, no source).
  return [...new Set([hours(0), hours(-12), hours(14)])];
}

/** In the Gregorian calendar, with years that begin in March, so that a leap day is the last. */
function daysSince1970(year: number, month: number, day: number): number {
  const shifted = month <= 2 ? year - 1 : year;
  const dayOfYear = Math.floor((153 * ((month + 9) % 12) + 2) / 5) + day - 1;
  return (
    365 * shifted +
    Math.floor(shifted / 4) -
    Math.floor(shifted / 100) +
    Math.floor(shifted / 400) +
    dayOfYear -
    719_468
  );
}

function dayOf(daysSince: number): string {
  // At most a year away; then it is counted up.
  let year = 1969 + Math.floor(daysSince / 366);
  while (daysSince1970(year + 1, 1, 1) <= daysSince) year += 1;
  let month = 12;
  while (month > 1 && daysSince1970(year, month, 1) > daysSince) month -= 1;
  const day = daysSince - daysSince1970(year, month, 1) + 1;
  const pad = (value: number, digits: number): string => String(value).padStart(digits, '0');
  return `${pad(year, 4)}-${pad(month, 2)}-${pad(day, 2)}`;
}
