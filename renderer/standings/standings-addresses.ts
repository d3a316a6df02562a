import type { PageAddress } from '../frame/places.ts';

/** The pages of Standings; `:names` are filled by the functions below. */
export const standingsRoutes = {
  overview: '/standings',
  newTable: '/standings/new',
  schemes: '/standings/schemes',
  scheme: '/standings/schemes/:schemeId',
  table: '/standings/:tableId',
  change: '/standings/:tableId/change',
  sensitivity: '/standings/:tableId/sensitivity',
  editions: '/standings/:tableId/editions',
  edition: '/standings/:tableId/editions/:editionId',
  cell: '/standings/:tableId/cell/:key/:termId',
} as const satisfies Record<string, PageAddress>;

/** Stands where a scheme has no id yet. */
export const NEW_SCHEME = 'new';

const part = encodeURIComponent;

export const tableAddress = (tableId: string) => `/standings/${part(tableId)}`;
export const changeAddress = (tableId: string) => `${tableAddress(tableId)}/change`;
export const sensitivityAddress = (tableId: string) => `${tableAddress(tableId)}/sensitivity`;
export const editionsAddress = (tableId: string) => `${tableAddress(tableId)}/editions`;
export const editionAddress = (tableId: string, editionId: string) =>
  `${editionsAddress(tableId)}/${part(editionId)}`;

/** A cell as it is now, or as it was in an edition. */
export function cellAddress(cell: {
  readonly tableId: string;
  readonly key: string;
  readonly termId: string;
  readonly editionId: string | null;
}): string {
  const address = `${tableAddress(cell.tableId)}/cell/${part(cell.key)}/${part(cell.termId)}`;
  return cell.editionId === null ? address : `${address}?edition=${part(cell.editionId)}`;
}

/** `from`: the scheme whose newest version a new one begins with. `table`: whose order is shown beside it. */
export function schemeAddress(
  schemeId: string,
  { from = null, tableId = null }: { readonly from?: string | null; readonly tableId?: string | null } = {},
): string {
  const params = new URLSearchParams();
  if (from !== null) params.set('from', from);
  if (tableId !== null) params.set('table', tableId);
  const search = params.toString();
  return `/standings/schemes/${part(schemeId)}${search === '' ? '' : `?${search}`}`;
}

/** `scheme`: the one that the new table begins with. */
export function newTableAddress(schemeId: string | null = null): string {
  return schemeId === null ? '/standings/new' : `/standings/new?scheme=${part(schemeId)}`;
}

/**
 * A part of an address as the router hands it on: it has decoded letters and "%" already, but not what separates parts
 * (":", "/"), so a "%" that stands for itself is not taken for the beginning of a code.
 */
export function readAddressPart(routed: string): string {
  return decodeURIComponent(routed.replaceAll(/%(?![0-9a-f]{2})/gi, '%25'));
}
