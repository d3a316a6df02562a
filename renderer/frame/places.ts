/** The places of the program, each with a stable address and a key of its own. */
export const places = [
  { address: '/bench', name: 'Bench', key: 'b' },
  { address: '/calibrate', name: 'Calibrate', key: 'c' },
  { address: '/logbook', name: 'Logbook', key: 'l' },
  { address: '/compare', name: 'Compare', key: 'v' },
  { address: '/tools', name: 'Tools', key: 't' },
  { address: '/standings', name: 'Standings', key: 'a' },
  { address: '/share', name: 'Share', key: 'h' },
  { address: '/setup', name: 'Setup', key: 's' },
] as const;

export type Address = (typeof places)[number]['address'];

/** A place, or a page below it. */
export type PageAddress = Address | `${Address}/${string}`;

/** Whether an address belongs to a place: /logbook/ID belongs to the Logbook. */
export function isWithin(location: string, address: Address): boolean {
  return location === address || location.startsWith(`${address}/`);
}
