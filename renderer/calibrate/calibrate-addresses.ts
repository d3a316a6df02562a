/** Where the parts of Calibrate are found. */
export const calibrateAddresses = {
  overview: '/calibrate',
  run: '/calibrate/run',
  byHand: '/calibrate/by-hand',
  standards: '/calibrate/standards',
  check: '/calibrate/check',
  ringing: '/calibrate/ringing',
  compare: '/calibrate/compare',
} as const;

export function reportAddress(calibrationId: string): string {
  return `/calibrate/report/${encodeURIComponent(calibrationId)}`;
}

export function compareAddress(calibrationId: string, otherId: string): string {
  return `${calibrateAddresses.compare}?${new URLSearchParams({ one: calibrationId, other: otherId }).toString()}`;
}

/** The overview, telling that this version has just been made. */
export function savedAddress(calibrationId: string): string {
  return `${calibrateAddresses.overview}?${new URLSearchParams({ saved: calibrationId }).toString()}`;
}
