import { z } from 'zod';
import { formatNumber, THIN_SPACE, unitLabel } from '../format-quantity.ts';
import type { Tool } from '../run-sheet/setup-model.ts';
import type { Claim, Price, ToolDetails } from './catalogue-model.ts';
import type { Column, ColumnId } from './catalogue-columns.ts';
import {
  claimKindWords,
  driveSizeWords,
  priceKindWords,
  supplyWords,
  toolClassWords,
} from './catalogue-words.ts';
import { squeeze } from './find-twins.ts';
import { type DecimalMark, readPlainCell, readQuantityCell } from './read-number-cell.ts';

export type Read<Value> = { readonly value: Value } | { readonly problem: string };

/** What of a tool stands once in the file, however many rows it has. */
export type FileFields = Omit<ToolDetails, 'claims' | 'prices'> &
  Pick<Tool, 'declaredVibrationMps2' | 'declaredNoiseDbA' | 'isArchived'> & {
    readonly supply: Tool['supply'];
  };

type FieldColumn = Exclude<ColumnId, `claim_${string}` | `price_${string}` | 'name' | 'tool_id'>;
type ReadField = (cell: string, column: Column, mark: DecimalMark) => Read<Partial<FileFields>>;

/** A cell that is not empty, to what it says of its tool. */
export const fieldReaders: Readonly<Record<FieldColumn, ReadField>> = {
  maker: (cell) => as('maker', readText(cell, 80)),
  model: (cell) => as('model', readText(cell, 80)),
  class: (cell) => as('toolClass', readChoice(cell, toolClassWords)),
  supply: (cell) => as('supply', readChoice(cell, supplyWords)),
  drive: (cell) => as('driveSize', readChoice(cell, driveSizeWords)),
  length: (cell, { unit }, mark) =>
    as('lengthM', within(readQuantityCell(cell, 'length', isLength(unit) ? unit : 'm', mark), 0, 10, 'm')),
  mass_bare: (cell, column, mark) => as('massBareKg', readMass(cell, column, mark)),
  mass_loaded: (cell, column, mark) => as('massLoadedKg', readMass(cell, column, mark)),
  vibration: (cell, _column, mark) =>
    as(
      'declaredVibrationMps2',
      within(readQuantityCell(cell, 'acceleration', 'mPerS2', mark), 0, 100, unitLabel('mPerS2')),
    ),
  noise: (cell, _column, mark) =>
    as('declaredNoiseDbA', between(readPlainCell(cell, mark, ['db', 'dba', 'db(a)']), 40, 150, 'dB(A)')),
  note: (cell) => as('note', readText(cell, 2000)),
  archived: (cell) => as('isArchived', readYesOrNo(cell)),
};

/** What an empty cell says where the column is there: that nothing is known. */
export const emptyFields: Readonly<Record<Exclude<FieldColumn, 'supply'>, Partial<FileFields>>> = {
  maker: { maker: '' },
  model: { model: '' },
  class: { toolClass: null },
  drive: { driveSize: null },
  length: { lengthM: null },
  mass_bare: { massBareKg: null },
  mass_loaded: { massLoadedKg: null },
  vibration: { declaredVibrationMps2: null },
  noise: { declaredNoiseDbA: null },
  note: { note: '' },
  archived: { isArchived: false },
};

export function readClaimKind(cell: string): Read<Claim['kind']> {
  return readChoice(cell, claimKindWords);
}

export function readPriceKind(cell: string): Read<Price['kind']> {
  return readChoice(cell, priceKindWords);
}

export function readTorque(cell: string, { unit }: Column, mark: DecimalMark): Read<number> {
  return within(
    readQuantityCell(cell, 'torque', isTorque(unit) ? unit : 'Nm', mark),
    0,
    1e6,
    unitLabel('Nm'),
  );
}

export function readAmount(cell: string, mark: DecimalMark): Read<number> {
  return within(readPlainCell(cell, mark), 0, 1e9, null);
}

export function readCurrency(cell: string): Read<string> {
  return /^[A-Z]{3}$/.test(cell)
    ? { value: cell }
    : { problem: `“${cell}” is no currency. Write its three capital letters, such as EUR.` };
}

/** 2026-03-01, or 01.03.2026 as spreadsheets of many countries make of it; with strokes nobody knows which is the month. */
export function readDay(cell: string): Read<string> {
  const dotted = /^(\d{1,2})\.(\d{1,2})\.(\d{4})$/.exec(cell);
  const [, day = '', month = '', year = ''] = dotted ?? [];
  const iso = dotted === null ? cell : `${year}-${month.padStart(2, '0')}-${day.padStart(2, '0')}`;
  return z.iso.date().safeParse(iso).success
    ? { value: iso }
    : { problem: `“${cell}” is no day. Write year, month and day, such as 2026-03-01.` };
}

export function readText(cell: string, most: number): Read<string> {
  return cell.length <= most
    ? { value: cell }
    : { problem: `the text has ${cell.length} characters, and ${most} is the most.` };
}

function readChoice<Value extends string>(cell: string, words: Readonly<Record<Value, string>>): Read<Value> {
  const choices = Object.keys(words) as Value[];
  const typed = squeeze(cell);
  const value = choices.find((choice) => squeeze(choice) === typed || squeeze(words[choice]) === typed);
  if (value !== undefined) return { value };
  return {
    problem: `“${cell}” is not known here. Write one of: ${choices.map((choice) => words[choice]).join(', ')}.`,
  };
}

function readYesOrNo(cell: string): Read<boolean> {
  const typed = cell.toLowerCase();
  if (typed === 'yes' || typed === 'no') return { value: typed === 'yes' };
  return { problem: `“${cell}” is neither yes nor no.` };
}

function readMass(cell: string, { unit }: Column, mark: DecimalMark): Read<number> {
  return within(readQuantityCell(cell, 'mass', isMass(unit) ? unit : 'kg', mark), 0, 100, 'kg');
}

function within(read: Read<number>, above: number, most: number, unit: string | null): Read<number> {
  if ('problem' in read || (read.value > above && read.value <= most)) return read;
  return { problem: `it has to be more than ${withUnit(above, unit)} and at most ${withUnit(most, unit)}.` };
}

function between(read: Read<number>, least: number, most: number, unit: string): Read<number> {
  if ('problem' in read || (read.value >= least && read.value <= most)) return read;
  return { problem: `it has to be from ${withUnit(least, unit)} to ${withUnit(most, unit)}.` };
}

function withUnit(value: number, unit: string | null): string {
  return unit === null ? formatNumber(value, 0) : `${formatNumber(value, 0)}${THIN_SPACE}${unit}`;
}

function as<Key extends keyof FileFields>(key: Key, read: Read<FileFields[Key]>): Read<Partial<FileFields>> {
  if ('problem' in read) return read;
  const fields: Partial<FileFields> = {};
  return { value: { ...fields, [key]: read.value } };
}

function isLength(unit: Column['unit']): unit is 'm' | 'mm' | 'cm' | 'in' {
  return unit === 'm' || unit === 'mm' || unit === 'cm' || unit === 'in';
}

function isMass(unit: Column['unit']): unit is 'kg' | 'g' | 'lb' {
  return unit === 'kg' || unit === 'g' || unit === 'lb';
}

function isTorque(unit: Column['unit']): unit is 'Nm' | 'ftLbf' | 'inLbf' | 'kgfm' {
  return unit === 'Nm' || unit === 'ftLbf' || unit === 'inLbf' || unit === 'kgfm';
}
