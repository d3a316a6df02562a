/** The calendar day of an instant where this computer stands, such as 2026-03-31: a day ends at the operator's midnight. */
export function localDay(instant: Date | string): string {
  const date = new Date(instant);
  const pad = (value: number, digits: number): string => String(value).padStart(digits, '0');
  return `${pad(date.getFullYear(), 4)}-${pad(date.getMonth() + 1, 2)}-${pad(date.getDate(), 2)}`;
}

/** The instant at which a calendar day begins where this computer stands, or one so many days later; null: after year 9999. */
export function startOfDay(day: string, daysLater = 0): string | null {
  const [year = 0, month = 1, date = 1] = day.split('-').map(Number);
  const midnight = new Date(2000, 0, 1);
  midnight.setFullYear(year, month - 1, date + daysLater);
  return midnight.getFullYear() > 9999 ? null : midnight.toISOString();
}
