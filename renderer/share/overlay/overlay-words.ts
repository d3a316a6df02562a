import { formatNumber, parseQuantity, THIN_SPACE } from '../../../shared-lib/format-quantity.ts';
import type { OverlaySettings, OverlayState } from '../../../shared-lib/overlay/overlay-model.ts';
import type { QuantityReading } from '../../ui/QuantityField.tsx';
import { wholeNumberReader } from '../../ui/read-whole-number.ts';

export const layoutChoices = [
  { key: 'curveAndFigures', label: 'Figures and curve' },
  { key: 'figures', label: 'Figures' },
  { key: 'curve', label: 'Curve' },
] as const satisfies readonly { key: OverlaySettings['layout']; label: string }[];

export const themeChoices = [
  { key: 'onDark', label: 'White' },
  { key: 'onLight', label: 'Black' },
  { key: 'panel', label: 'On panels' },
] as const satisfies readonly { key: OverlaySettings['theme']; label: string }[];

const MOST_DELAY_MS = 5000;

export function delayText(delayMs: number): string {
  return `${formatNumber(delayMs, 0)}${THIN_SPACE}ms`;
}

/** A plain number is milliseconds; the value of the reading is, too. */
export function readDelay(typed: string): QuantityReading {
  const parsed = parseQuantity(typed, 'duration', 'ms');
  if ('problem' in parsed) return parsed;
  const delayMs = Math.round(parsed.value * 1000);
  return delayMs >= 0 && delayMs <= MOST_DELAY_MS
    ? { value: delayMs, shown: delayText(delayMs) }
    : { problem: `The delay may be from 0 to ${delayText(MOST_DELAY_MS)}.` };
}

export const readPort = wholeNumberReader(1024, 65_535, null);

export function stateWords({ settings, url, viewerCount, shows }: OverlayState): string {
  if (!settings.isOn) return 'Off. Its address answers nobody.';
  if (url === null) return 'On, but it could not be served.';
  const viewers =
    viewerCount === 0
      ? 'No page shows it yet'
      : viewerCount === 1
        ? 'One page shows it'
        : `${viewerCount} pages show it`;
  return `On. ${viewers}${shows === 'replay' ? ', a replay just now' : ''}.`;
}

/** "+ 125.123 s (2:05.123)": to the millisecond, as an editing program wants it. */
export function afterWords(afterS: number): string {
  const sign = afterS < 0 ? '\u2212' : '+';
  const wholeMs = Math.round(Math.abs(afterS) * 1000);
  const seconds = `${sign}${THIN_SPACE}${formatNumber(wholeMs / 1000, 3)}${THIN_SPACE}s`;
  if (wholeMs < 60_000) return seconds;
  const minutes = Math.floor(wholeMs / 60_000);
  const rest = ((wholeMs % 60_000) / 1000).toFixed(3).padStart(6, '0');
  return `${seconds} (${minutes}:${rest})`;
}
