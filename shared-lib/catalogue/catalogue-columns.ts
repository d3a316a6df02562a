import type { UnitId } from '../format-quantity.ts';

/** Columns of the file of the catalogue, in the order in which it is written. Those with a unit are written in SI. */
export const columnIds = [
  'name',
  'maker',
  'model',
  'class',
  'supply',
  'drive',
  'length',
  'mass_bare',
  'mass_loaded',
  'vibration',
  'noise',
  'claim_kind',
  'claim_torque',
  'claim_source',
  'claim_stated_on',
  'price_kind',
  'price_amount',
  'price_currency',
  'price_on',
  'price_source',
  'note',
  'archived',
  'tool_id',
] as const;
export type ColumnId = (typeof columnIds)[number];

/** Of one claim or one price: a tool has as many rows as it has of them. The other columns say the same in each, or nothing. */
export const claimColumns = ['claim_kind', 'claim_torque', 'claim_source', 'claim_stated_on'] as const;
export const priceColumns = [
  'price_kind',
  'price_amount',
  'price_currency',
  'price_on',
  'price_source',
] as const;

/** With the unit that a number without one has; the first one is written. */
const unitsOfColumn = {
  length: { m: 'm', mm: 'mm', cm: 'cm', in: 'in' },
  mass_bare: { kg: 'kg', g: 'g', lb: 'lb' },
  mass_loaded: { kg: 'kg', g: 'g', lb: 'lb' },
  vibration: { mps2: 'mPerS2' },
  claim_torque: { nm: 'Nm', ftlbf: 'ftLbf', inlbf: 'inLbf', kgfm: 'kgfm' },
} as const satisfies Partial<Record<ColumnId, Record<string, UnitId>>>;

/** dB(A) is no unit that is converted. */
const noiseHeader = 'noise_dba';

export interface Column {
  readonly id: ColumnId;
  /** As it stands in the file, for messages. */
  readonly header: string;
  /** Null: not a quantity with a unit. */
  readonly unit: UnitId | null;
}

export function headerOf(id: ColumnId): string {
  if (id === 'noise') return noiseHeader;
  const units = unitNamesOf(id);
  return units === null ? id : `${id}_${Object.keys(units)[0] ?? ''}`;
}

/** A header as somebody may write it ("Length (mm)"), or why it is none that is known here. */
export function readHeader(cell: string): Column | { readonly problem: string } {
  const header = cell.trim();
  const folded = header
    .toLowerCase()
    .replace(/m\/s[²2]/u, 'mps2')
    .replace(/[^\p{L}\p{N}]+/gu, '_')
    .replace(/^_|_$/g, '');
  if (folded === noiseHeader || folded === 'noise_db_a') return { id: 'noise', header, unit: null };
  for (const id of columnIds) {
    const units = unitNamesOf(id);
    if (units === null) {
      if (folded === id && id !== 'noise') return { id, header, unit: null };
      continue;
    }
    if (folded !== id && !folded.startsWith(`${id}_`)) continue;
    const unit = units[folded.slice(id.length).replaceAll('_', '')];
    if (unit !== undefined) return { id, header, unit };
    const known = Object.keys(units).map((name) => `${id}_${name}`);
    return { problem: `the column “${header}” does not name a unit known here. Use ${known.join(' or ')}.` };
  }
  return {
    problem: `the column “${header}” is not known here. The columns are ${columnIds.map(headerOf).join(', ')}.`,
  };
}

function unitNamesOf(id: ColumnId): Readonly<Record<string, UnitId>> | null {
  const all: Partial<Record<ColumnId, Readonly<Record<string, UnitId>>>> = unitsOfColumn;
  return all[id] ?? null;
}
