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
