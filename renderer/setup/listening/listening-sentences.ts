import type { BaudRateTrial, HeardField, Listening } from '../../../shared-lib/amplifier/listening-model.ts';
import { assertNever } from '../../../shared-lib/assert-never.ts';
import { formatNumber, formatRate, THIN_SPACE } from '../../../shared-lib/format-quantity.ts';

/** What the program is doing on the port, in a sentence that changes only when that does: it is spoken. */
export function listeningSentence({ state, path, baudRate }: Listening): string {
  const rate = baudRate === null ? null : baudWords(baudRate);
  switch (state) {
    case 'probing':
      return rate === null
        ? `Opening ${path} to try the usual baud rates.`
        : `Trying ${rate} on ${path}: at the right rate the bytes are text in lines.`;
    case 'listening':
      return `Listening on ${path}${rate === null ? '' : ` at ${rate}`}.`;
    case 'failed':
      return `Nothing can be made of ${path}.`;
    default:
      return assertNever(state, 'This state of listening has no sentence');
  }
}

/** What comes in at this moment; not spoken, because it changes all the time. */
export function heardSentence({ state, bytesHeard, lineRateHz }: Listening): string {
  if (state === 'failed') return '';
  if (bytesHeard === 0) return 'Nothing has come yet.';
  return lineRateHz === null ? 'Bytes come in.' : `About ${formatLineRate(lineRateHz)}.`;
}

export function triedSentence({ baudRate, readableShare, sentence }: BaudRateTrial): string {
  const share = readableShare === null ? '' : `, ${percentWords(readableShare)} readable`;
  return `${baudWords(baudRate)}${share}: ${sentence}`;
}

/** Whether a person should push now; there is nothing to see before the first numbers. */
export function isPushUseful({ state, fields }: Listening): boolean {
  return state === 'listening' && fields.some(({ value }) => value !== null);
}

export interface FieldMovement {
  readonly word: 'moves' | 'steady' | 'counts up' | 'no number';
  /** Of the track, which is as long as the larger of the two spreads. */
  readonly nowShare: number;
  /** Where the spread from before lies on it; null where there is none to compare with. */
  readonly beforeShare: number | null;
}

/** Twice the spread from before is more than noise does, and far less than a push with one hand. */
const MOVES_BEYOND = 2;

export function describeMovement({
  value,
  guess,
  spreadNow,
  spreadBefore,
}: Pick<HeardField, 'value' | 'guess' | 'spreadNow' | 'spreadBefore'>): FieldMovement {
  if (value === null || spreadNow === null) return { word: 'no number', nowShare: 0, beforeShare: null };
  const most = Math.max(spreadNow, spreadBefore ?? 0);
  const nowShare = most === 0 ? 0 : spreadNow / most;
  const beforeShare = spreadBefore === null || most === 0 ? null : spreadBefore / most;
  if (guess === 'sequence' || guess === 'deviceTime') return { word: 'counts up', nowShare, beforeShare };
  const isMoving = spreadBefore !== null && spreadNow > MOVES_BEYOND * spreadBefore;
  return { word: isMoving ? 'moves' : 'steady', nowShare, beforeShare };
}

export const guessWords: Readonly<Record<HeardField['guess'], string>> = {
  counts: 'counts',
  sequence: 'sequence number',
  deviceTime: 'device time',
  statusFlags: 'status flags',
  constant: 'a constant',
  text: 'text',
  unknown: 'not known yet',
};

export function baudWords(baudRate: number): string {
  return `${formatNumber(baudRate, 0)}${THIN_SPACE}Bd`;
}

/** Never "100 %" where a line was not read. */
export function percentWords(share: number): string {
  const percent = share === 1 ? 100 : Math.min(99, Math.floor(share * 100));
  return `${percent}${THIN_SPACE}%`;
}

function formatLineRate(lineRateHz: number): string {
  return formatRate(lineRateHz, lineRateHz < 10 ? 1 : 0).replace('Sa/s', 'lines/s');
}
