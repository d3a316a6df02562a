import type { CatalogueTool, ToolClass } from '../../../shared-lib/catalogue/catalogue-model.ts';
import { driveSizeSchema, toolClassSchema } from '../../../shared-lib/catalogue/catalogue-model.ts';
import { type Supply, supplySchema } from '../../../shared-lib/run-sheet/setup-model.ts';
import { makerAndModel, meanScore, newestPrice } from '../tool-sentences.ts';

export const sortKeys = ['name', 'class', 'claim', 'price', 'handling', 'trials', 'missing'] as const;
export type SortKey = (typeof sortKeys)[number];

export interface ToolFilter {
  readonly search: string;
  readonly toolClass: ToolClass | null;
  readonly driveSize: string | null;
  readonly supply: Supply | null;
  readonly isIncompleteOnly: boolean;
  /** Archived and merged ones too. */
  readonly isAllShown: boolean;
  readonly sort: SortKey;
  readonly isDescending: boolean;
}

export type FilterName = 'search' | 'class' | 'drive' | 'supply' | 'incomplete' | 'all' | 'sort' | 'down';

/** What is searched for stands in the address, so that back, reload and a bookmark find the same list. */
export function toolFilter(params: URLSearchParams): ToolFilter {
  const toolClass = toolClassSchema.safeParse(params.get('class'));
  const driveSize = driveSizeSchema.safeParse(params.get('drive'));
  const supply = supplySchema.safeParse(params.get('supply'));
  return {
    search: (params.get('search') ?? '').slice(0, 200),
    toolClass: toolClass.success ? toolClass.data : null,
    driveSize: driveSize.success ? driveSize.data : null,
    supply: supply.success ? supply.data : null,
    isIncompleteOnly: params.has('incomplete'),
    isAllShown: params.has('all'),
    sort: sortKeys.find((key) => key === params.get('sort')) ?? 'name',
    isDescending: params.has('down'),
  };
}

/** The address's parameters with one changed; null, false and an empty text take it out. */
export function withPart(
  params: URLSearchParams,
  name: FilterName,
  value: string | boolean | null,
): URLSearchParams {
  const next = new URLSearchParams(params);
  if (value === null || value === '' || value === false) next.delete(name);
  else next.set(name, value === true ? '1' : value);
  return next;
}

/** By the same column the other way round; of another one first what is looked for there. */
export function withSort(params: URLSearchParams, { sort, isDescending }: ToolFilter, key: SortKey) {
  const down = sort === key ? !isDescending : key !== 'name' && key !== 'class' && key !== 'price';
  return withPart(withPart(params, 'sort', key === 'name' ? null : key), 'down', down);
}

export function isFiltered({ search, toolClass, driveSize, supply, isIncompleteOnly }: ToolFilter): boolean {
  return (
    search.trim() !== '' || toolClass !== null || driveSize !== null || supply !== null || isIncompleteOnly
  );
}

export function isListed({ tool, mergedIntoToolId }: CatalogueTool): boolean {
  return !tool.isArchived && mergedIntoToolId === null;
}

/** All words of the search are in it, anywhere; what is not known is last, whichever way it is sorted. */
export function filterTools(
  tools: readonly CatalogueTool[],
  filter: ToolFilter,
  currency: string,
): CatalogueTool[] {
  const words = folded(filter.search).split(/\s+/).filter(Boolean);
  return tools
    .filter(
      (tool) =>
        (filter.isAllShown || isListed(tool)) &&
        (filter.toolClass === null || tool.details.toolClass === filter.toolClass) &&
        (filter.driveSize === null || tool.details.driveSize === filter.driveSize) &&
        (filter.supply === null || tool.tool.supply === filter.supply) &&
        (!filter.isIncompleteOnly || tool.missing.length > 0) &&
        words.every((word) => searchedText(tool).includes(word)),
    )
    .toSorted((a, b) => compareBy(a, b, filter, currency));
}

function searchedText(tool: CatalogueTool): string {
  const { claims, prices, note } = tool.details;
  const sources = [...claims, ...prices].map(({ source }) => source);
  return folded([tool.tool.name, makerAndModel(tool), note, ...sources].join('\n'));
}

function folded(text: string): string {
  return text
    .normalize('NFKD')
    .replaceAll(/\p{Mark}/gu, '')
    .toLowerCase();
}

const byName = new Intl.Collator(undefined, { numeric: true, sensitivity: 'base' });

function compareBy(a: CatalogueTool, b: CatalogueTool, filter: ToolFilter, currency: string): number {
  const turned = filter.isDescending ? -1 : 1;
  const names = byName.compare(a.tool.name, b.tool.name);
  if (filter.sort === 'name') return turned * names;
  const valueA = sortValue(a, filter.sort, currency);
  const valueB = sortValue(b, filter.sort, currency);
  if (valueA === null || valueB === null) {
    return (valueA === null ? 1 : 0) - (valueB === null ? 1 : 0) || names;
  }
  const order =
    typeof valueA === 'string' || typeof valueB === 'string'
      ? byName.compare(String(valueA), String(valueB))
      : valueA - valueB;
  return turned * order || names;
}

/** Prices of other currencies have no place in an order by price. */
function sortValue(tool: CatalogueTool, sort: SortKey, currency: string): string | number | null {
  const { claims, prices, toolClass } = tool.details;
  switch (sort) {
    case 'name':
      return tool.tool.name;
    case 'class':
      return toolClass;
    case 'claim':
      return claims.length === 0 ? null : Math.max(...claims.map(({ torqueNm }) => torqueNm));
    case 'price': {
      const own = prices.filter((price) => price.currency === currency);
      return (newestPrice(own, 'bare') ?? newestPrice(own, 'kit'))?.amount ?? null;
    }
    case 'handling':
      return meanScore(tool.ratings);
    case 'trials':
      return tool.trialCount;
    case 'missing':
      return tool.missing.length;
  }
}
