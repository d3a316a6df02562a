import { assertNever } from '../../shared-lib/assert-never.ts';
import { formatNumber, formatTorqueInBothUnits, THIN_SPACE } from '../../shared-lib/format-quantity.ts';
import type { FaultEvent, FaultKind } from '../../shared-lib/trial/trial-model.ts';
import type { NoticeKind } from '../ui/Notice.tsx';

/** A fault in two or three words, for columns and for the status line; its sentence says the rest. */
export const faultWords: Readonly<Record<FaultKind, string>> = {
  badLine: 'Unreadable line',
  badChecksum: 'Wrong checksum',
  sequenceGap: 'Lost samples',
  rail: 'Converter at its end',
  stuck: 'Count stands still',
  silence: 'Silence',
  overload: 'Overload',
  disconnect: 'Amplifier lost',
  rateOffNominal: 'Rate not as set',
  segmentBreak: 'Counting began anew',
  readerLost: 'Reading process ended',
  silenceEnded: 'Silence over',
  duplicateLine: 'Line came twice',
  beyondRails: 'Number beyond the converter',
  deviceFlag: 'Told by the amplifier',
  computerSlept: 'Computer slept',
  queueOverflow: 'Program fell behind',
};

/** `fault`: reading or recording is not what it should be; `caution`: it goes on, with a blemish that is counted. */
export function faultSeverity(kind: FaultKind): NoticeKind {
  switch (kind) {
    case 'stuck':
    case 'silence':
    case 'overload':
    case 'disconnect':
    case 'readerLost':
    case 'queueOverflow':
    case 'deviceFlag':
      return 'fault';
    case 'badLine':
    case 'badChecksum':
    case 'sequenceGap':
    case 'rail':
    case 'rateOffNominal':
    case 'segmentBreak':
    case 'duplicateLine':
    case 'beyondRails':
    case 'computerSlept':
      return 'caution';
    case 'silenceEnded':
      return 'information';
    default:
      return assertNever(kind, 'A fault without a severity');
  }
}

/** The figure of a fault with what it counts; a dash where it has none. */
export function faultFigure({ kind, count }: Pick<FaultEvent, 'kind' | 'count'>): string {
  const counted = (one: string, many: string): string =>
    `${formatNumber(count, 0)} ${count === 1 ? one : many}`;
  switch (kind) {
    case 'badLine':
    case 'badChecksum':
    case 'duplicateLine':
      return counted('line', 'lines');
    case 'sequenceGap':
    case 'rail':
    case 'beyondRails':
    case 'queueOverflow':
      return counted('sample', 'samples');
    case 'overload':
      return formatTorqueInBothUnits(count, 0);
    case 'rateOffNominal':
      return `${formatNumber(count, 0)}${THIN_SPACE}%`;
    case 'silenceEnded':
      return `${formatNumber(count / 1000, 2)}${THIN_SPACE}s`;
    case 'computerSlept':
      return `${formatNumber(count, 0)}${THIN_SPACE}s`;
    case 'stuck':
    case 'silence':
    case 'disconnect':
    case 'segmentBreak':
    case 'readerLost':
    case 'deviceFlag':
      return '–';
    default:
      return assertNever(kind, 'A fault without a figure');
  }
}
