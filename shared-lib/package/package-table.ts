/** How a table travels in a data package: `package-tables.ts` lists them all. */
export type CellType =
  | 'text'
  /** ISO 8601 in UTC. */
  | 'time'
  | 'whole'
  | 'number'
  /** 0 or 1. */
  | 'flag'
  /** JSON text, kept letter by letter. */
  | 'object'
  | 'array'
  /** Base64. */
  | 'bytes';

export interface PackageColumn {
  readonly name: string;
  readonly type: CellType;
  readonly isNullable: boolean;
  readonly description: string | null;
  /** The table whose key it holds. */
  readonly refersTo: string | null;
  readonly oneOf: readonly string[] | null;
}

export interface PackageTable {
  readonly name: string;
  readonly description: string;
  readonly columns: readonly PackageColumn[];
  readonly key: readonly string[];
  /** Rows stand in this order, which is the same whichever database they come from. */
  readonly order: readonly string[];
  /**
   * Rows that belong to a row of another table and travel with it. Where the key is a number that SQLite gave (`isGrowing`), they are
   * known again by what they say, and their order within that row means which is newer.
   */
  readonly belongsTo: { readonly column: string; readonly table: string } | null;
  readonly isGrowing: boolean;
  /** What may differ between two benches without being a contradiction. */
  readonly mutable: readonly string[];
}

type Extra = Partial<Pick<PackageColumn, 'description' | 'oneOf'>>;

function column(
  name: string,
  type: CellType,
  isNullable: boolean,
  extra: Extra & Partial<Pick<PackageColumn, 'refersTo'>> = {},
): PackageColumn {
  return { name, type, isNullable, description: null, refersTo: null, oneOf: null, ...extra };
}

export const text = (name: string, extra?: Extra): PackageColumn => column(name, 'text', false, extra);
export const textOrNull = (name: string, extra?: Extra): PackageColumn => column(name, 'text', true, extra);
export const time = (name: string, extra?: Extra): PackageColumn => column(name, 'time', false, extra);
export const timeOrNull = (name: string, extra?: Extra): PackageColumn => column(name, 'time', true, extra);
export const number = (name: string, extra?: Extra): PackageColumn => column(name, 'number', false, extra);
export const numberOrNull = (name: string, extra?: Extra): PackageColumn =>
  column(name, 'number', true, extra);
export const whole = (name: string, extra?: Extra): PackageColumn => column(name, 'whole', false, extra);
export const wholeOrNull = (name: string, extra?: Extra): PackageColumn => column(name, 'whole', true, extra);
export const flag = (name: string, extra?: Extra): PackageColumn => column(name, 'flag', false, extra);
export const object = (name: string, extra?: Extra): PackageColumn => column(name, 'object', false, extra);
export const objectOrNull = (name: string, extra?: Extra): PackageColumn =>
  column(name, 'object', true, extra);
export const array = (name: string, extra?: Extra): PackageColumn => column(name, 'array', false, extra);
export const bytes = (name: string, extra?: Extra): PackageColumn => column(name, 'bytes', false, extra);
export const oneOf = (name: string, values: readonly string[], extra?: Extra): PackageColumn =>
  column(name, 'text', false, { ...extra, oneOf: values });

/** Holds the key of a row of `table`. */
export const keyOf = (table: string, name = `${table}_id`, extra?: Extra): PackageColumn =>
  column(name, 'text', false, { ...extra, refersTo: table });
export const keyOfOrNull = (table: string, name = `${table}_id`, extra?: Extra): PackageColumn =>
  column(name, 'text', true, { ...extra, refersTo: table });
/** Likewise, of rows that are numbered within the package. */
export const numberOf = (table: string, name: string, extra?: Extra): PackageColumn =>
  column(name, 'whole', false, { ...extra, refersTo: table });
export const numberOfOrNull = (table: string, name: string, extra?: Extra): PackageColumn =>
  column(name, 'whole', true, { ...extra, refersTo: table });

interface TableDraft {
  readonly name: string;
  readonly description: string;
  readonly columns: readonly PackageColumn[];
  readonly key?: readonly string[];
  readonly belongsTo?: { readonly column: string; readonly table: string };
  readonly mutable?: readonly string[];
}

/** Rows with an identity of their own. */
export function rowsOf(draft: TableDraft): PackageTable {
  const key = draft.key ?? ['id'];
  return { belongsTo: null, mutable: [], ...draft, key, order: key, isGrowing: false };
}

/** Rows that are only added, each to a row of another table; `id` numbers them within the package. */
export function eventsOf(
  draft: Omit<TableDraft, 'key'> & {
    readonly belongsTo: { readonly column: string; readonly table: string };
  },
): PackageTable {
  return {
    mutable: [],
    ...draft,
    columns: [whole('id', { description: 'Numbered within the package; more is newer.' }), ...draft.columns],
    key: ['id'],
    order: [draft.belongsTo.column, 'id'],
    isGrowing: true,
  };
}
