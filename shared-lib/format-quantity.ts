import type { TorqueUnit } from './api-contract.ts';
import {
  HECTOPASCALS_PER_PSI,
  KILOGRAMS_PER_POUND,
  METRES_PER_FOOT,
  METRES_PER_INCH,
  NEWTON_METRES_PER_FOOT_POUND_FORCE,
  NEWTON_METRES_PER_INCH_POUND_FORCE,
  NEWTON_METRES_PER_KILOGRAM_FORCE_METRE,
} from './quantities.ts';

/**
 * Quantities as people read and type them. The only place outside input fields where other units than the program's own
 * exist: N m, kg, m, s, kg/m3, m/s2, Sa/s, hPa, ohm, mV/V, degrees Celsius, and degrees for angles, as the contract has them.
 */
export type QuantityKind =
  | 'torque'
  | 'mass'
  | 'length'
  | 'angle'
  | 'duration'
  | 'density'
  | 'acceleration'
  | 'sampleRate'
  | 'percent'
  | 'temperature'
  | 'temperatureSpan'
  | 'pressure'
  | 'resistance'
  | 'bridgeOutput';

interface Unit {
  readonly kind: QuantityKind;
  readonly label: string;
  /** Own unit = typed number times this, or divided by `divisor`, which keeps decimal multiples exact. */
  readonly factor?: number;
  readonly divisor?: number;
  /** What may be typed, in lower case and without the marks that `normaliseUnit` drops. */
  readonly names: readonly string[];
}

const units = {
  Nm: {
    kind: 'torque',
    label: 'N·m',
    names: ['nm', 'newtonmetre', 'newtonmetres', 'newtonmeter', 'newtonmeters'],
  },
  ftLbf: {
    kind: 'torque',
    label: 'ft·lbf',
    factor: NEWTON_METRES_PER_FOOT_POUND_FORCE,
    names: ['ftlbf', 'ftlb', 'ftlbs', 'lbfft', 'lbft', 'footpound', 'footpounds'],
  },
  inLbf: {
    kind: 'torque',
    label: 'in·lbf',
    factor: NEWTON_METRES_PER_INCH_POUND_FORCE,
    names: ['inlbf', 'inlb', 'inlbs', 'lbfin', 'lbin', 'inchpound', 'inchpounds'],
  },
  kgfm: {
    kind: 'torque',
    label: 'kgf·m',
    factor: NEWTON_METRES_PER_KILOGRAM_FORCE_METRE,
    names: ['kgfm', 'kgm', 'mkgf'],
  },
  kg: { kind: 'mass', label: 'kg', names: ['kg', 'kilogram', 'kilograms', 'kilo', 'kilos'] },
  g: { kind: 'mass', label: 'g', divisor: 1000, names: ['g', 'gram', 'grams'] },
  lb: {
    kind: 'mass',
    label: 'lb',
    factor: KILOGRAMS_PER_POUND,
    names: ['lb', 'lbs', 'lbm', 'pound', 'pounds'],
  },
  m: { kind: 'length', label: 'm', names: ['m', 'metre', 'metres', 'meter', 'meters'] },
  cm: {
    kind: 'length',
    label: 'cm',
    divisor: 100,
    names: ['cm', 'centimetre', 'centimetres', 'centimeter', 'centimeters'],
  },
  mm: {
    kind: 'length',
    label: 'mm',
    divisor: 1000,
    names: ['mm', 'millimetre', 'millimetres', 'millimeter', 'millimeters'],
  },
  in: { kind: 'length', label: 'in', factor: METRES_PER_INCH, names: ['in', 'inch', 'inches', '"', '″'] },
  ft: { kind: 'length', label: 'ft', factor: METRES_PER_FOOT, names: ['ft', 'foot', 'feet', "'", '′'] },
  deg: { kind: 'angle', label: '°', names: ['°', 'deg', 'degree', 'degrees'] },
  s: { kind: 'duration', label: 's', names: ['s', 'sec', 'secs', 'second', 'seconds'] },
  ms: { kind: 'duration', label: 'ms', divisor: 1000, names: ['ms', 'millisecond', 'milliseconds'] },
  min: { kind: 'duration', label: 'min', factor: 60, names: ['min', 'mins', 'minute', 'minutes'] },
  kgPerM3: { kind: 'density', label: 'kg/m³', names: ['kg/m3', 'kg/m³', 'kg/m^3'] },
  gPerCm3: { kind: 'density', label: 'g/cm³', factor: 1000, names: ['g/cm3', 'g/cm³', 'g/cm^3', 'g/cc'] },
  mPerS2: { kind: 'acceleration', label: 'm/s²', names: ['m/s2', 'm/s²', 'm/s^2'] },
  SaPerS: { kind: 'sampleRate', label: 'Sa/s', names: ['sa/s', 'sps', 'hz', 'samples/s'] },
  kSaPerS: { kind: 'sampleRate', label: 'kSa/s', factor: 1000, names: ['ksa/s', 'ksps', 'khz'] },
  percent: { kind: 'percent', label: '%', names: ['%', 'percent'] },
  degC: { kind: 'temperature', label: '°C', names: ['°c', 'c', 'degc', 'celsius'] },
  K: { kind: 'temperatureSpan', label: 'K', names: ['k', '°c', 'kelvin'] },
  hPa: { kind: 'pressure', label: 'hPa', names: ['hpa', 'mbar'] },
  kPa: { kind: 'pressure', label: 'kPa', factor: 10, names: ['kpa'] },
  bar: { kind: 'pressure', label: 'bar', factor: 1000, names: ['bar', 'bars'] },
  psi: { kind: 'pressure', label: 'psi', factor: HECTOPASCALS_PER_PSI, names: ['psi', 'lbf/in2', 'lbf/in²'] },
  ohm: { kind: 'resistance', label: 'Ω', names: ['ω', 'ohm', 'ohms'] },
  kOhm: { kind: 'resistance', label: 'kΩ', factor: 1000, names: ['kω', 'kohm', 'kohms'] },
  mVPerV: { kind: 'bridgeOutput', label: 'mV/V', names: ['mv/v'] },
} as const satisfies Record<string, Unit>;

export type UnitId = keyof typeof units;
export type UnitOf<Kind extends QuantityKind> = {
  [Id in UnitId]: (typeof units)[Id]['kind'] extends Kind ? Id : never;
}[UnitId];

/** Narrow no-break space: between a number and its unit, and between groups of three digits. */
export const THIN_SPACE = '\u202f';
const MINUS = '\u2212';
/** Stands where there is no number. */
const NO_VALUE = '\u2013';

export function unitLabel(unit: UnitId): string {
  return units[unit].label;
}

/** A number in `unit` to the program's own unit of its kind. */
export function toOwnUnit(value: number, unit: UnitId): number {
  const { factor = 1, divisor = 1 }: Unit = units[unit];
  return (value * factor) / divisor;
}

/** A number in the program's own unit to `unit`. */
export function fromOwnUnit(value: number, unit: UnitId): number {
  const { factor = 1, divisor = 1 }: Unit = units[unit];
  return (value * divisor) / factor;
}

/**
 * A number with fixed decimals, a true minus, and thin spaces between groups of three from five digits before the point on
 * (four digits stay together). A dash where the value is not finite; zero never has a sign.
 */
export function formatNumber(value: number, decimals: number): string {
  if (!Number.isFinite(value)) return NO_VALUE;
  const [whole = '', fraction] = Math.abs(value).toFixed(decimals).split('.');
  const grouped = whole.length > 4 ? whole.replace(/\B(?=(?:\d{3})+$)/g, THIN_SPACE) : whole;
  const digits = fraction === undefined ? grouped : `${grouped}.${fraction}`;
  return value < 0 && /[1-9]/.test(digits) ? MINUS + digits : digits;
}

/** A value in the program's own unit, shown in `unit`: "123.4 N·m", with a thin space; degrees stand close. */
export function formatQuantity(value: number, unit: UnitId, decimals: number): string {
  const space = unit === 'deg' ? '' : THIN_SPACE;
  return `${formatNumber(fromOwnUnit(value, unit), decimals)}${space}${units[unit].label}`;
}

export function formatTorque(torqueNm: number, unit: TorqueUnit, decimals: number): string {
  return formatQuantity(torqueNm, unit, decimals);
}

/** For sentences that are stored, or shown in several windows: they cannot know which unit their reader has chosen. */
export function formatTorqueInBothUnits(torqueNm: number, decimals: number): string {
  return `${formatTorque(torqueNm, 'Nm', decimals)} (${formatTorque(torqueNm, 'ftLbf', decimals)})`;
}

export function formatRate(sampleRateHz: number, decimals = 0): string {
  return formatQuantity(sampleRateHz, 'SaPerS', decimals);
}

/** Seconds with decimals under two minutes ("12.35 s"), then "12 min 05 s", from two hours on "3 h 20 min". */
export function formatDuration(durationS: number, decimals = 1): string {
  if (!(Math.abs(durationS) >= 120) || !Number.isFinite(durationS))
    return formatQuantity(durationS, 's', decimals);
  const sign = durationS < 0 ? MINUS : '';
  const wholeS = Math.round(Math.abs(durationS));
  const twoDigits = (value: number): string => String(value).padStart(2, '0');
  if (wholeS < 7200) {
    return `${sign}${Math.floor(wholeS / 60)}${THIN_SPACE}min ${twoDigits(wholeS % 60)}${THIN_SPACE}s`;
  }
  const wholeMin = Math.round(wholeS / 60);
  return `${sign}${formatNumber(Math.floor(wholeMin / 60), 0)}${THIN_SPACE}h ${twoDigits(wholeMin % 60)}${THIN_SPACE}min`;
}

/** `value` is in the program's own unit of the kind, `unit` the one that was typed or assumed. */
export type ParsedQuantity = { readonly value: number; readonly unit: UnitId } | { readonly problem: string };

/**
 * Reads what was typed into a field: a number with comma or point, and a unit of the field's kind or none (then
 * `defaultUnit`). "45 lb", "0.5 m", "250 ft·lbf", "1,5", "40 000 Sa/s".
 *
 * A comma before exactly three digits ("1,250") could be meant either way and is refused, as is more than one comma or
 * point; nothing is guessed. Whether the value is in range is for the field to say.
 */
export function parseQuantity<Kind extends QuantityKind>(
  text: string,
  kind: Kind,
  defaultUnit: UnitOf<Kind>,
): ParsedQuantity {
  if (text.trim() === '') return { problem: 'Type a number.' };
  const parts = numberAndUnit(text);
  if (parts === null) return { problem: `“${text.trim()}” does not begin with a number.` };
  const { numberText, unitText } = parts;
  const number = readNumber(numberText);
  if ('problem' in number) return number;
  const unit = unitText === '' ? defaultUnit : findUnit(unitText, kind);
  if (unit === null) {
    return { problem: `“${unitText}” is not a unit known here. Use ${listUnits(kind)}.` };
  }
  const value = toOwnUnit(number.value, unit);
  return Number.isFinite(value) ? { value, unit } : { problem: `“${numberText}” is too large a number.` };
}

/**
 * The text with `defaultUnit` behind its number where none was typed, so that it still means the same once another unit is taken for
 * granted. What has a unit, or cannot be read, stays as it was typed.
 */
export function withUnitNamed<Kind extends QuantityKind>(
  text: string,
  kind: Kind,
  defaultUnit: UnitOf<Kind>,
): string {
  if ('problem' in parseQuantity(text, kind, defaultUnit) || numberAndUnit(text)?.unitText !== '')
    return text;
  return `${text.trim()}${THIN_SPACE}${unitLabel(defaultUnit)}`;
}

function numberAndUnit(text: string): { readonly numberText: string; readonly unitText: string } | null {
  const plain = text.trim().replaceAll(MINUS, '-');
  const match = /^([+-]?(?=[\d.,])[\d.,\s]*(?:e[+-]?\d+(?![\w]))?)(.*)$/isu.exec(plain);
  return match === null ? null : { numberText: (match[1] ?? '').trim(), unitText: (match[2] ?? '').trim() };
}

function readNumber(text: string): { readonly value: number } | { readonly problem: string } {
  const marks = text.match(/[.,]/g)?.length ?? 0;
  if (marks > 1) {
    return {
      problem: `“${text}” has more than one comma or point. Write the number without marks between thousands.`,
    };
  }
  if (/^[+-]?[1-9]\d{0,2},\d{3}$/.test(text)) {
    return {
      problem: `“${text}” could mean ${text.replace(',', '')} or ${text.replace(',', '.')}. Write one of these.`,
    };
  }
  const isPlain = /^[+-]?(?:\d+[.,]?\d*|[.,]\d+)(?:e[+-]?\d+)?$/i.test(text);
  const isGrouped = /^[+-]?\d{1,3}(?:\s\d{3})+(?:[.,]\d*)?$/.test(text);
  if (!isPlain && !isGrouped) return { problem: `“${text}” is not a number.` };
  return { value: Number(text.replace(/\s/g, '').replace(',', '.')) };
}

function findUnit(text: string, kind: QuantityKind): UnitId | null {
  const name = normaliseUnit(text);
  for (const id of unitIdsOf(kind)) {
    const names: readonly string[] = units[id].names;
    if (names.includes(name)) return id;
  }
  return null;
}

/** "N·m", "N m", "N.m", "ft-lbf" and "FT*LBF" are all meant alike. */
function normaliseUnit(text: string): string {
  return text.toLowerCase().replace(/[\s·⋅*.\-‐‑]/gu, '');
}

function unitIdsOf(kind: QuantityKind): UnitId[] {
  return (Object.keys(units) as UnitId[]).filter((id) => units[id].kind === kind);
}

function listUnits(kind: QuantityKind): string {
  const labels = unitIdsOf(kind).map(unitLabel);
  const last = labels.pop() ?? '';
  return labels.length === 0 ? last : `${labels.join(', ')} or ${last}`;
}
