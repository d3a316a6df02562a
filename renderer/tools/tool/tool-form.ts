import type { TorqueUnit } from '../../../shared-lib/api-contract.ts';
import type {
  CatalogueTool,
  Claim,
  DriveSize,
  Price,
  PriceKind,
  ToolClass,
  ToolDetails,
} from '../../../shared-lib/catalogue/catalogue-model.ts';
import { type UnitId, withUnitNamed } from '../../../shared-lib/format-quantity.ts';
import type { Supply, Tool } from '../../../shared-lib/run-sheet/setup-model.ts';
import { itemReaders } from '../../run-sheet/items/item-form.ts';
import { FormReader, type FormReading } from '../../ui/form-reader.ts';
import { isRoundLevel } from '../../../shared-lib/level-words.ts';
import type { QuantityReading } from '../../ui/QuantityField.tsx';
import { formatSignificant } from '../../../shared-lib/format-significant.ts';
import { quantityReader } from '../../ui/read-quantity.ts';
import { formatMoney, readMoney, withCurrencyNamed } from '../read-money.ts';

/** The choice of what is not known. */
export const UNKNOWN = 'unknown';

export interface ClaimForm {
  readonly id: string;
  readonly kind: Claim['kind'];
  readonly torque: string;
  readonly source: string;
  /** Empty: not known. */
  readonly statedOn: string;
}

export interface PriceForm {
  readonly id: string;
  readonly kind: PriceKind;
  readonly money: string;
  readonly on: string;
  readonly source: string;
}

/** A tool with all its details as they are typed. */
export interface CatalogueForm {
  readonly name: string;
  readonly maker: string;
  readonly model: string;
  readonly toolClass: ToolClass | typeof UNKNOWN;
  readonly driveSize: DriveSize | typeof UNKNOWN;
  readonly supply: Supply;
  readonly length: string;
  readonly massBare: string;
  readonly massLoaded: string;
  readonly vibration: string;
  readonly noise: string;
  readonly note: string;
  readonly claims: readonly ClaimForm[];
  readonly prices: readonly PriceForm[];
}

/** What a part of the form is called in a sentence. */
export const formPartNames: Readonly<Record<keyof CatalogueForm, string>> = {
  name: 'the name',
  maker: 'the maker',
  model: 'the model',
  toolClass: 'the class',
  driveSize: 'the drive',
  supply: 'the supply',
  length: 'the length',
  massBare: 'the bare mass',
  massLoaded: 'the mass ready to use',
  vibration: 'the declared vibration',
  noise: 'the declared noise',
  note: 'the note',
  claims: 'the claims',
  prices: 'the prices',
};

/** What a form is read with: the unit and the currency of what was typed without one. */
export interface FormUnits {
  readonly torqueUnit: TorqueUnit;
  readonly currency: string;
}

/** Parts of a form as they mean the same whatever the units are by now; `units` are those they were typed in. */
export function withUnitsNamed(
  form: Partial<CatalogueForm>,
  { torqueUnit, currency }: FormUnits,
): Partial<CatalogueForm> {
  const { claims, prices } = form;
  return {
    ...form,
    ...(claims && {
      claims: claims.map((claim) => ({
        ...claim,
        torque: withUnitNamed(claim.torque, 'torque', torqueUnit),
      })),
    }),
    ...(prices && {
      prices: prices.map((price) => ({ ...price, money: withCurrencyNamed(price.money, currency) })),
    }),
  };
}

export const MOST_CLAIMS = 20;
export const MOST_PRICES = 200;

export const emptyCatalogueForm: CatalogueForm = {
  name: '',
  maker: '',
  model: '',
  toolClass: UNKNOWN,
  driveSize: UNKNOWN,
  supply: 'battery',
  length: '',
  massBare: '',
  massLoaded: '',
  vibration: '',
  noise: '',
  note: '',
  claims: [],
  prices: [],
};

/** The ranges of the contract, so that a field says at once what the services would refuse. */
export const sizeReaders = {
  length: quantityReader({ kind: 'length', unit: 'mm', min: 0, max: 10, isMinExcluded: true }),
  mass: quantityReader({ kind: 'mass', unit: 'kg', min: 0, max: 100, isMinExcluded: true }),
} as const;

export function claimReader(torqueUnit: TorqueUnit): (typed: string) => QuantityReading {
  return quantityReader({ kind: 'torque', unit: torqueUnit, min: 0, max: 1e6, isMinExcluded: true });
}

export function priceReader(currency: string): (typed: string) => QuantityReading {
  return (typed) => {
    const reading = readMoney(typed, currency);
    return 'problem' in reading ? reading : { value: reading.amount, shown: reading.shown };
  };
}

export function catalogueForm({ tool, details }: CatalogueTool, torqueUnit: TorqueUnit): CatalogueForm {
  return {
    name: tool.name,
    maker: details.maker,
    model: details.model,
    toolClass: details.toolClass ?? UNKNOWN,
    driveSize: details.driveSize ?? UNKNOWN,
    supply: tool.supply,
    length: shown(details.lengthM, 'mm'),
    massBare: shown(details.massBareKg, 'kg'),
    massLoaded: shown(details.massLoadedKg, 'kg'),
    vibration: shown(tool.declaredVibrationMps2, 'mPerS2'),
    noise: tool.declaredNoiseDbA === null ? '' : String(tool.declaredNoiseDbA),
    note: details.note,
    claims: details.claims.map(({ id, kind, torqueNm, source, statedOn }) => ({
      id,
      kind,
      torque: claimText(torqueNm, torqueUnit),
      source,
      statedOn: statedOn ?? '',
    })),
    prices: details.prices.map(({ id, kind, amount, currency, on, source }) => ({
      id,
      kind,
      money: formatMoney(amount, currency),
      on,
      source,
    })),
  };
}

/** In the unit in which it is a round figure, since that is the one it was stated in; else in the chosen one. */
export function claimText(torqueNm: number, torqueUnit: TorqueUnit): string {
  const other: TorqueUnit = torqueUnit === 'Nm' ? 'ftLbf' : 'Nm';
  const isOthers = !isRoundLevel(torqueNm, torqueUnit) && isRoundLevel(torqueNm, other);
  return formatSignificant(torqueNm, isOthers ? other : torqueUnit);
}

/** `stored`: what the form was made from; null: a new tool. */
export function readCatalogueForm(
  form: CatalogueForm,
  id: string,
  stored: CatalogueTool | null,
  { torqueUnit, currency }: FormUnits,
): FormReading<{ readonly tool: Tool; readonly details: ToolDetails }> {
  const reader = new FormReader();
  const tool: Tool = {
    id,
    name: reader.text(formPartNames.name, form.name),
    supply: form.supply,
    declaredVibrationMps2: reader.optional(
      formPartNames.vibration,
      form.vibration,
      untouched(stored?.tool.declaredVibrationMps2, ['mPerS2'], itemReaders.vibration),
    ),
    declaredNoiseDbA: reader.optional(formPartNames.noise, form.noise, itemReaders.noise),
    isArchived: stored?.tool.isArchived ?? false,
  };
  const sizes = stored?.details;
  const mass = (name: string, typed: string, storedKg: number | null | undefined) =>
    reader.optional(name, typed, untouched(storedKg, ['kg'], sizeReaders.mass));
  const details: ToolDetails = {
    maker: form.maker.trim(),
    model: form.model.trim(),
    toolClass: form.toolClass === UNKNOWN ? null : form.toolClass,
    driveSize: form.driveSize === UNKNOWN ? null : form.driveSize,
    lengthM: reader.optional(
      formPartNames.length,
      form.length,
      untouched(sizes?.lengthM, ['mm'], sizeReaders.length),
    ),
    massBareKg: mass(formPartNames.massBare, form.massBare, sizes?.massBareKg),
    massLoadedKg: mass(formPartNames.massLoaded, form.massLoaded, sizes?.massLoadedKg),
    claims: form.claims.filter(isClaimBegun).map((claim, index) => {
      const storedNm = sizes?.claims.find((known) => known.id === claim.id)?.torqueNm;
      const of = `of claim ${index + 1}`;
      return {
        id: claim.id,
        kind: claim.kind,
        torqueNm: reader.needed(
          `the torque ${of}`,
          claim.torque,
          untouched(storedNm, ['Nm', 'ftLbf'], claimReader(torqueUnit)),
        ),
        source: reader.text(`the source ${of}`, claim.source),
        statedOn: claim.statedOn === '' ? null : claim.statedOn,
      };
    }),
    prices: form.prices.filter(isPriceBegun).map((price, index) => readPrice(reader, price, index, currency)),
    note: form.note.trim(),
  };
  return reader.missing.length > 0 ? { missing: reader.missing } : { value: { tool, details } };
}

function readPrice(reader: FormReader, form: PriceForm, index: number, currency: string): Price {
  const of = `of price ${index + 1}`;
  const reading = readMoney(form.money, currency);
  if ('problem' in reading) reader.missing.push(`the amount ${of}`);
  return {
    id: form.id,
    kind: form.kind,
    amount: 'problem' in reading ? NaN : reading.amount,
    currency: 'problem' in reading ? currency : reading.currency,
    on: reader.text(`the day ${of}`, form.on),
    source: form.source.trim(),
  };
}

/** A line that was added and never filled in is no claim. */
export function isClaimBegun({ torque, source }: ClaimForm): boolean {
  return torque.trim() !== '' || source.trim() !== '';
}

export function isPriceBegun({ money, source }: PriceForm): boolean {
  return money.trim() !== '' || source.trim() !== '';
}

/** What does not fit together though each field can be read: said, and left to the person. */
export function catalogueCautions({ details }: { readonly details: ToolDetails }): string[] {
  const { massBareKg, massLoadedKg } = details;
  return massBareKg !== null && massLoadedKg !== null && massLoadedKg < massBareKg
    ? ['Ready to use the tool has less mass than bare: one of the two is not right.']
    : [];
}

/**
 * A field that nobody has touched stands for what is stored, to the last digit: what it shows is rounded, and saving
 * must not change a claim of 250 ft·lbf because it was looked at.
 */
function untouched(
  stored: number | null | undefined,
  units: readonly UnitId[],
  read: (typed: string) => QuantityReading,
): (typed: string) => QuantityReading {
  if (stored == null) return read;
  const texts = units.map((unit) => formatSignificant(stored, unit));
  return (typed) => (texts.includes(typed) ? { value: stored, shown: typed } : read(typed));
}

function shown(value: number | null, unit: UnitId): string {
  return value === null ? '' : formatSignificant(value, unit);
}
