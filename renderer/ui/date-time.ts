const toTheMinute = new Intl.DateTimeFormat(undefined, { dateStyle: 'medium', timeStyle: 'short' });
const toTheSecond = new Intl.DateTimeFormat(undefined, { dateStyle: 'medium', timeStyle: 'medium' });

/** A stored instant in the user's own way of writing dates. */
export function formatDateTime(instant: string): string {
  return toTheMinute.format(new Date(instant));
}

/** With seconds, for trials, of which several can begin in one minute. */
export function formatTrialTime(startedAt: string): string {
  return toTheSecond.format(new Date(startedAt));
}

const dayOnly = new Intl.DateTimeFormat(undefined, { dateStyle: 'medium', timeZone: 'UTC' });

/** A calendar day such as 2026-03-31, which is the same day in every time zone. */
export function formatDay(day: string): string {
  return dayOnly.format(new Date(`${day.slice(0, 10)}T00:00:00Z`));
}
