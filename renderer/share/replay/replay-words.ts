import { formatNumber, THIN_SPACE } from '../../../shared-lib/format-quantity.ts';
import type { Ground } from './paint-frames.ts';
import { frameRates } from './replay-timing.ts';

export const themeChoices = [
  { key: 'light', label: 'Dark' },
  { key: 'dark', label: 'Bright' },
] as const;

export const groundChoices = [
  { key: 'transparent', label: 'None' },
  { key: 'panel', label: 'See-through' },
  { key: 'solid', label: 'Solid' },
] as const satisfies readonly { key: Ground; label: string }[];

export const rateChoices = frameRates.map((rate) => ({
  key: String(rate) as `${typeof rate}`,
  label: `${String(rate)} frames/s`,
}));

/** "1.4 MB" */
export function sizeWords(bytes: number): string {
  return bytes < 1e6
    ? `${formatNumber(bytes / 1e3, 0)}${THIN_SPACE}kB`
    : `${formatNumber(bytes / 1e6, 1)}${THIN_SPACE}MB`;
}
