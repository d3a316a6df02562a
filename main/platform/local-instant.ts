/**
 * An instant as it stood on the clock of this computer, with the offset from UTC: "2026-03-31 14:05:10 +02:00". For what is read elsewhere,
 * where nobody knows which clock was meant.
 */
export function localInstant(instant: Date | string): string {
  const date = new Date(instant);
  const two = (value: number): string => String(value).padStart(2, '0');
  const day = `${String(date.getFullYear()).padStart(4, '0')}-${two(date.getMonth() + 1)}-${two(date.getDate())}`;
  const time = `${two(date.getHours())}:${two(date.getMinutes())}:${two(date.getSeconds())}`;
  const offsetMin = -date.getTimezoneOffset();
  const ahead = Math.abs(offsetMin);
  const offset = `${offsetMin < 0 ? '-' : '+'}${two(Math.floor(ahead / 60))}:${two(ahead % 60)}`;
  return `${day} ${time} ${offset}`;
}
