/** The calendar day of an instant where this computer stands, such as 2026-03-31: a day ends at the operator's midnight. */
export function localDay(instant: Date | string): string {
  const date = new Date(instant);
  const pad = (value: number, digits: number): string => String(value).padStart(digits, '0');
  return `${pad(date.getFullYear(), 4)}-${pad(date.getMonth() + 1, 2)}-${pad(date.getDate(), 2)}`;
}
