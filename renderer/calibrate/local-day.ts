/** The calendar day at this place, such as 2026-03-31. */
export function localDay(instant: Date): string {
  const two = (value: number) => String(value).padStart(2, '0');
  return `${instant.getFullYear()}-${two(instant.getMonth() + 1)}-${two(instant.getDate())}`;
}

/** The same day so many months later; the month's last day where it has no such day. */
export function monthsLater(day: string, months: number): string {
  const [year = 0, month = 1, date = 1] = day.split('-').map(Number);
  const lastDate = new Date(Date.UTC(year, month - 1 + months + 1, 0)).getUTCDate();
  return new Date(Date.UTC(year, month - 1 + months, Math.min(date, lastDate))).toISOString().slice(0, 10);
}
