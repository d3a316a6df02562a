/**
 * Which part of the slot axis is in the picture, and what its time axis says.
 *
 * `rolling`: the newest `spanS` seconds, the newest at the right edge. `run`: a fixed window in seconds from onset.
 * `stored`: the same without a live trace, which is gone after a reload or another zero.
 */
export type TimeWindow =
  | { readonly kind: 'rolling'; readonly spanS: number }
  | {
      readonly kind: 'run';
      readonly onsetSlot: number;
      readonly fromS: number;
      readonly toS: number;
      /** Nothing from this slot on is drawn; null: no such end. */
      readonly untilSlot: number | null;
    }
  | { readonly kind: 'stored'; readonly fromS: number; readonly toS: number };

export function spanOf(window: TimeWindow): number {
  return window.kind === 'rolling' ? window.spanS : window.toS - window.fromS;
}

/** The time axis in seconds: from onset, or before now. */
export function timeExtentOf(window: TimeWindow): { readonly fromS: number; readonly toS: number } {
  return window.kind === 'rolling'
    ? { fromS: -window.spanS, toS: 0 }
    : { fromS: window.fromS, toS: window.toS };
}

/** A rectangle in the picture; in CSS or in device pixels, as the place says. */
export interface PlotArea {
  readonly left: number;
  readonly top: number;
  readonly width: number;
  readonly height: number;
}

/** Places slots in columns of one device pixel. Columns count from `baseSlot`; the picture begins at `firstColumn`. */
export interface ColumnMapping {
  readonly baseSlot: number;
  readonly columnsPerSlot: number;
  readonly firstColumn: number;
  readonly columnCount: number;
}

export function columnOf(mapping: ColumnMapping, slot: number): number {
  return Math.floor((slot - mapping.baseSlot) * mapping.columnsPerSlot);
}

/** The windows that a live trace is drawn in. */
export type LiveWindow = Exclude<TimeWindow, { kind: 'stored' }>;

/** A fresh mapping: the run window stands still, the rolling one ends at `endSlot`. */
export function mapWindow(
  window: LiveWindow,
  sampleRateHz: number,
  endSlot: number,
  columnCount: number,
): ColumnMapping {
  const columnsPerSlot = columnCount / (spanOf(window) * sampleRateHz);
  const baseSlot =
    window.kind === 'rolling'
      ? endSlot - window.spanS * sampleRateHz
      : window.onsetSlot + window.fromS * sampleRateHz;
  return { baseSlot, columnsPerSlot, firstColumn: 0, columnCount };
}

/** The rolling picture moves by whole columns, so that what is drawn can be shifted instead of drawn again. */
export function scrolledTo(mapping: ColumnMapping, endSlot: number): ColumnMapping {
  const firstColumn = columnOf(mapping, endSlot) - mapping.columnCount;
  return firstColumn > mapping.firstColumn ? { ...mapping, firstColumn } : mapping;
}

/** The bins whose columns are in the picture: from `fromBin` up to, not including, `toBin`. */
export function binsInPicture(
  mapping: ColumnMapping,
  samplesPerBin: number,
): { readonly fromBin: number; readonly toBin: number } {
  const firstSlot = mapping.baseSlot + mapping.firstColumn / mapping.columnsPerSlot;
  const lastSlot = firstSlot + mapping.columnCount / mapping.columnsPerSlot;
  return { fromBin: Math.floor(firstSlot / samplesPerBin), toBin: Math.ceil(lastSlot / samplesPerBin) };
}
