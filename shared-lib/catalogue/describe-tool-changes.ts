import {
  formatNumber,
  formatTorqueInBothUnits,
  fromOwnUnit,
  THIN_SPACE,
  unitLabel,
} from '../format-quantity.ts';
import type { Claim, Price } from './catalogue-model.ts';
import {
  claimKindWords,
  driveSizeWords,
  priceKindWords,
  supplyWords,
  toolClassWords,
  toolPropertyWords,
} from './catalogue-words.ts';
import { noDetails, type ToolEntry } from './tool-entry.ts';
import { formatMoney } from './tool-properties.ts';

/**
 * What is other than before, a sentence each, for the history of a tool and for the preview of an import; none: the same.
 * `before` null: nothing was known of it.
 */
export function describeToolChanges(before: ToolEntry | null, after: ToolEntry): string[] {
  const old = before ?? { tool: after.tool, details: noDetails };
  const [a, b] = [old.details, after.details];
  return [
    ...changeOf('name', old.tool.name, after.tool.name, quoted),
    ...changeOf('maker', a.maker, b.maker, quoted),
    ...changeOf('model', a.model, b.model, quoted),
    ...changeOf('class', a.toolClass, b.toolClass, (value) => toolClassWords[value]),
    ...changeOf('supply', old.tool.supply, after.tool.supply, (value) => supplyWords[value]),
    ...changeOf('drive', a.driveSize, b.driveSize, (value) => driveSizeWords[value]),
    ...changeOf(toolPropertyWords.length, a.lengthM, b.lengthM, millimetres),
    ...changeOf(toolPropertyWords.massBare, a.massBareKg, b.massBareKg, kilograms),
    ...changeOf(toolPropertyWords.massLoaded, a.massLoadedKg, b.massLoadedKg, kilograms),
    ...changeOf(
      toolPropertyWords.declaredVibration,
      old.tool.declaredVibrationMps2,
      after.tool.declaredVibrationMps2,
      (value) => `${plain(value)}${THIN_SPACE}${unitLabel('mPerS2')}`,
    ),
    ...changeOf(
      toolPropertyWords.declaredNoise,
      old.tool.declaredNoiseDbA,
      after.tool.declaredNoiseDbA,
      (value) => `${plain(value)}${THIN_SPACE}dB(A)`,
    ),
    ...changesOfList('Claim', a.claims, b.claims, claimWords),
    ...changesOfList('Price', a.prices, b.prices, priceWords),
    ...changeOf('note', a.note, b.note, quoted),
    ...(old.tool.isArchived === after.tool.isArchived
      ? []
      : [after.tool.isArchived ? 'Put away.' : 'Taken into use again.']),
  ];
}

export function claimWords({ kind, torqueNm, source, statedOn }: Omit<Claim, 'id'>): string {
  const words = [claimKindWords[kind], formatTorqueInBothUnits(torqueNm, decimalsOf(torqueNm)), source];
  return [...words, ...(statedOn === null ? [] : [statedOn])].join(', ');
}

export function priceWords({ kind, amount, currency, on, source }: Omit<Price, 'id'>): string {
  const words = [priceKindWords[kind], formatMoney(amount, currency), on];
  return [...words, ...(source === '' ? [] : [source])].join(', ');
}

function changeOf<Value extends string | number>(
  what: string,
  before: Value | null,
  after: Value | null,
  words: (value: Value) => string,
): string[] {
  if (before === after) return [];
  const read = (value: Value | null): string => (value === null || value === '' ? 'none' : words(value));
  return [`${what.charAt(0).toUpperCase()}${what.slice(1)}: ${read(after)} (was ${read(before)}).`];
}

function changesOfList<Item extends { readonly id: string }>(
  what: string,
  before: readonly Item[],
  after: readonly Item[],
  words: (item: Item) => string,
): string[] {
  const old = new Map(before.map((item) => [item.id, item]));
  const kept = new Set(after.map(({ id }) => id));
  return [
    ...after.flatMap((item) => {
      const former = old.get(item.id);
      if (former === undefined) return [`${what} added: ${words(item)}.`];
      const isSame = JSON.stringify(contentOf(former)) === JSON.stringify(contentOf(item));
      return isSame ? [] : [`${what} changed: ${words(item)} (was ${words(former)}).`];
    }),
    ...before.filter(({ id }) => !kept.has(id)).map((item) => `${what} removed: ${words(item)}.`),
  ];
}

/** Whatever the order in which its members were written. */
function contentOf(item: object): [string, unknown][] {
  return Object.entries(item).toSorted(([a], [b]) => (a < b ? -1 : 1));
}

function quoted(text: string): string {
  return `“${text}”`;
}

function millimetres(lengthM: number): string {
  return `${plain(fromOwnUnit(lengthM, 'mm'))}${THIN_SPACE}mm`;
}

function kilograms(massKg: number): string {
  return `${plain(massKg)}${THIN_SPACE}kg`;
}

/** With as many decimals as it has, so that no change is hidden by rounding; six digits are more than anybody weighs. */
function plain(value: number): string {
  return formatNumber(value, decimalsOf(value));
}

function decimalsOf(value: number): number {
  const rounded = String(Number(value.toPrecision(6)));
  return /e/.test(rounded) ? 6 : (rounded.split('.')[1]?.length ?? 0);
}
