import type { PackageColumn, PackageTable } from './package-table.ts';

/** A field by Frictionless Table Schema (v1). */
export interface TableSchemaField {
  readonly name: string;
  readonly type: string;
  readonly format?: string;
  readonly description?: string;
  readonly constraints?: Readonly<Record<string, unknown>>;
}

export interface TableSchema {
  readonly fields: readonly TableSchemaField[];
  readonly primaryKey?: readonly string[];
  readonly foreignKeys?: readonly {
    readonly fields: string;
    readonly reference: { readonly resource: string; readonly fields: string };
  }[];
}

/** How a table is described to programs that do not know this one. Source: specs.frictionlessdata.io/table-schema, version 1. */
export function tableSchemaOf(table: PackageTable): TableSchema {
  const foreignKeys = table.columns.flatMap(({ name, refersTo }) =>
    refersTo === null
      ? []
      : [{ fields: name, reference: { resource: refersTo === table.name ? '' : refersTo, fields: 'id' } }],
  );
  return {
    fields: table.columns.map((column) => fieldOf(column, table.key)),
    primaryKey: table.key,
    ...(foreignKeys.length > 0 && { foreignKeys }),
  };
}

function fieldOf(column: PackageColumn, key: readonly string[]): TableSchemaField {
  const { name, description, isNullable, oneOf } = column;
  const constraints = {
    // An empty text that may not be null is still a value, but an empty cell to Table Schema.
    ...(!isNullable && column.type !== 'text' && { required: true }),
    ...(key.length === 1 && key[0] === name && { required: true, unique: true }),
    ...(oneOf !== null && { required: !isNullable, enum: oneOf }),
    ...(column.type === 'flag' && { enum: [0, 1] }),
  };
  return {
    name,
    ...typeOf(column),
    ...(description !== null && { description }),
    ...(Object.keys(constraints).length > 0 && { constraints }),
  };
}

function typeOf({ type }: PackageColumn): Pick<TableSchemaField, 'type' | 'format'> {
  switch (type) {
    case 'text':
      return { type: 'string' };
    case 'time':
      return { type: 'datetime', format: 'any' };
    case 'whole':
    case 'flag':
      return { type: 'integer' };
    case 'number':
      return { type: 'number' };
    case 'object':
      return { type: 'object' };
    case 'array':
      return { type: 'array' };
    case 'bytes':
      return { type: 'string', format: 'binary' };
  }
}

const slot: TableSchemaField = {
  name: 'slot',
  type: 'integer',
  description: 'Place on the sample clock, from the first slot of the record; a lost slot has no row.',
  constraints: { required: true, unique: true, minimum: 0 },
};

export const countsSchema: TableSchema = {
  fields: [slot, { name: 'counts', type: 'integer', constraints: { required: true } }],
};

export const arrivalsSchema: TableSchema = {
  fields: [
    {
      name: 'slot',
      type: 'integer',
      description: 'Slot that had just been read; from the first slot of the record.',
      constraints: { required: true },
    },
    {
      name: 'arrival_us',
      type: 'integer',
      description: 'Monotonic time of the computer, in microseconds; only differences mean something.',
      constraints: { required: true },
    },
  ],
};
