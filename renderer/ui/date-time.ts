const dateTime = new Intl.DateTimeFormat(undefined, { dateStyle: 'medium', timeStyle: 'short' });

/** A stored instant in the user's own way of writing dates; seconds carry nothing for a reader. */
export function formatDateTime(instant: string): string {
  return dateTime.format(new Date(instant));
}
