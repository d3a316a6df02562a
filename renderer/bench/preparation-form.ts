import type { RequestParams } from '../../shared-lib/api-contract.ts';
import { formatNumber, THIN_SPACE } from '../../shared-lib/format-quantity.ts';
import type { SheetOnBench } from '../../shared-lib/run-sheet/run-sheet-model.ts';
import type { Ask, Preparation } from '../../shared-lib/run-sheet/setup-model.ts';
import { FormReader, plainNumberReader } from '../ui/form-reader.ts';
import type { QuantityReading } from '../ui/QuantityField.tsx';
import { quantityReader } from '../ui/read-quantity.ts';
import { wholeNumberReader } from '../ui/read-whole-number.ts';

export type Found = Omit<RequestParams<'confirmSetup'>, 'entryId'>;

/** What a plan can ask for when a setup is taken up; the last one is of the pack that comes off. */
export type FieldKey = Exclude<keyof Preparation, 'isCarriedOver'> | 'lastPackRestedV';

export interface PreparationField {
  readonly key: FieldKey;
  readonly label: string;
  /** Null: plain text. */
  readonly read: ((typed: string) => QuantityReading) | null;
}

/** Exactly what was typed; a field that is not in it stands as it was taken over. */
export type Typed = Readonly<Partial<Record<FieldKey, string>>>;

const HPA_PER_KPA = 10;
const MM_PER_M = 1000;

// The ranges of the contract, so that a field says at once what the services would refuse.
const readVolts = voltsReader(0.1, 1000);
const readPackTemperature = quantityReader({ kind: 'temperature', unit: 'degC', min: -50, max: 150 });
const readToolTemperature = quantityReader({ kind: 'temperature', unit: 'degC', min: -50, max: 300 });
const readPressure = quantityReader({
  kind: 'pressure',
  unit: 'kPa',
  min: 0,
  max: 30_000,
  isMinExcluded: true,
});
const readBore = quantityReader({ kind: 'length', unit: 'mm', min: 0, max: 0.1, isMinExcluded: true });
const readPulls = wholeNumberReader(0, 1_000_000, null);

const ofAsk: Readonly<Record<Ask, readonly PreparationField[]>> = {
  packVolts: [{ key: 'packRestedV', label: 'Pack volts, rested', read: readVolts }],
  packTemperature: [{ key: 'packTemperatureC', label: 'Pack temperature', read: readPackTemperature }],
  toolTemperature: [{ key: 'toolTemperatureC', label: 'Tool temperature', read: readToolTemperature }],
  fastener: [
    { key: 'fastener', label: 'Fastener', read: null },
    { key: 'fastenerPullsSinceNew', label: 'Its pulls since new', read: readPulls },
  ],
  lubricant: [{ key: 'lubricant', label: 'Lubricant', read: null }],
  airPressure: [
    { key: 'inletPressureKpa', label: 'Pressure while running', read: readPressure },
    { key: 'hoseBoreMm', label: 'Hose bore', read: readBore },
  ],
};
const ofPackTakenOff: PreparationField = {
  key: 'lastPackRestedV',
  label: 'Volts, pack taken off',
  read: readVolts,
};

/** The fields that the plan asks for; `hasPackComeOff`: another pack was in use before. */
export function preparationFields(asks: readonly Ask[], hasPackComeOff: boolean): PreparationField[] {
  const asked = asks.flatMap((ask) => ofAsk[ask]);
  return asks.includes('packVolts') && hasPackComeOff ? [...asked, ofPackTakenOff] : asked;
}

/** How a value that was taken over stands in its field; empty: nothing is known. */
export function takenOver(key: FieldKey, prefilled: Preparation): string {
  if (key === 'lastPackRestedV') return '';
  const value = prefilled[key];
  if (value === null) return '';
  if (typeof value === 'string') return value;
  switch (key) {
    case 'packRestedV':
      return withUnit(value, 'V');
    case 'packTemperatureC':
    case 'toolTemperatureC':
      return withUnit(value, '°C');
    case 'inletPressureKpa':
      return withUnit(value, 'kPa');
    case 'hoseBoreMm':
      return withUnit(value, 'mm');
    default:
      return formatNumber(value, 0);
  }
}

/** Whether a field shows what was found before, which nobody has read anew. */
export function isCarriedOver(key: FieldKey, prefilled: Preparation, typed: Typed): boolean {
  return typed[key] === undefined && takenOver(key, prefilled) !== '';
}

/** What the press takes: typed fields as they were read, the others as they were taken over. */
export function readPreparation(
  fields: readonly PreparationField[],
  prefilled: Preparation,
  typed: Typed,
): { readonly value: Found } | { readonly missing: readonly string[] } {
  const reader = new FormReader();
  const fieldOf = (key: FieldKey): PreparationField | undefined => fields.find((field) => field.key === key);
  const number = (key: FieldKey, kept: number | null, perOwn = 1): number | null => {
    const field = fieldOf(key);
    const text = typed[key];
    if (field?.read == null) return null;
    if (text === undefined) return kept;
    const value = reader.optional(field.label, text, field.read);
    return value === null ? null : cleaned(value * perOwn);
  };
  const text = (key: 'fastener' | 'lubricant'): string | null => {
    if (fieldOf(key) === undefined) return null;
    const wanted = (typed[key] ?? prefilled[key] ?? '').trim();
    return wanted === '' ? null : wanted;
  };
  const preparation: Preparation = {
    packRestedV: number('packRestedV', prefilled.packRestedV),
    packTemperatureC: number('packTemperatureC', prefilled.packTemperatureC),
    toolTemperatureC: number('toolTemperatureC', prefilled.toolTemperatureC),
    fastener: text('fastener'),
    fastenerPullsSinceNew: number('fastenerPullsSinceNew', prefilled.fastenerPullsSinceNew),
    lubricant: text('lubricant'),
    inletPressureKpa: number('inletPressureKpa', prefilled.inletPressureKpa, 1 / HPA_PER_KPA),
    hoseBoreMm: number('hoseBoreMm', prefilled.hoseBoreMm, MM_PER_M),
    isCarriedOver: isWholeCarriedOver(fields, prefilled, typed),
  };
  const lastPackRestedV = number('lastPackRestedV', null);
  if (reader.missing.length > 0) return { missing: reader.missing };
  return { value: { preparation, lastPackRestedV } };
}

/** The pack that comes off says nothing of the setup that is taken up. */
function isWholeCarriedOver(
  fields: readonly PreparationField[],
  prefilled: Preparation,
  typed: Typed,
): boolean {
  const own = fields.filter(({ key }) => key !== 'lastPackRestedV');
  const isAnyTyped = own.some(({ key }) => typed[key] !== undefined);
  return !isAnyTyped && own.some(({ key }) => isCarriedOver(key, prefilled, typed));
}

/** Only a press has been made before the first setup was ever taken up. */
export function hasPackComeOff({ doneCount, skippedCount, current }: SheetOnBench): boolean {
  return doneCount + skippedCount > 0 || (current?.round ?? 0) > 1;
}

/** A conversion must not leave 630.0000000000001 behind. */
function cleaned(value: number): number {
  return Number(value.toPrecision(12));
}

function withUnit(value: number, unit: string): string {
  return `${String(value)}${THIN_SPACE}${unit}`;
}

/** Volts are asked for nowhere else, so they have no kind of their own; the unit may be typed or not. */
function voltsReader(min: number, max: number): (typed: string) => QuantityReading {
  const readNumber = plainNumberReader(min, max);
  return (typed) => {
    const reading = readNumber(typed.replace(/\s*v(?:olts?)?\s*$/i, ''));
    return 'problem' in reading
      ? { problem: `This takes ${min}${THIN_SPACE}V to ${max}${THIN_SPACE}V.` }
      : { value: reading.value, shown: withUnit(reading.value, 'V') };
  };
}
