import { type ColumnId, columnIds, headerOf } from './catalogue-columns.ts';
import type { CatalogueTool, Claim, Price } from './catalogue-model.ts';
import {
  claimKindWords,
  driveSizeWords,
  priceKindWords,
  supplyWords,
  toolClassWords,
} from './catalogue-words.ts';
import { writeCsv } from './csv-cells.ts';

type Cells = Partial<Record<ColumnId, string>>;

/**
 * The catalogue as a CSV file: SI units, a row for each tool with its first claim and its first price, and a further row for
 * each further one. Merged tools are left out: they count as the ones they were merged into.
 */
export function writeCatalogueTable(tools: readonly CatalogueTool[]): string {
  const rows = tools.filter(({ mergedIntoToolId }) => mergedIntoToolId === null).flatMap(rowsOf);
  return writeCsv([columnIds.map(headerOf), ...rows.map((row) => columnIds.map((id) => row[id] ?? ''))]);
}

function rowsOf({ tool, details }: CatalogueTool): Cells[] {
  const first: Cells = {
    maker: details.maker,
    model: details.model,
    class: details.toolClass === null ? '' : toolClassWords[details.toolClass],
    supply: supplyWords[tool.supply],
    drive: details.driveSize === null ? '' : driveSizeWords[details.driveSize],
    length: numberCell(details.lengthM),
    mass_bare: numberCell(details.massBareKg),
    mass_loaded: numberCell(details.massLoadedKg),
    vibration: numberCell(tool.declaredVibrationMps2),
    noise: numberCell(tool.declaredNoiseDbA),
    note: details.note,
    archived: tool.isArchived ? 'yes' : 'no',
  };
  const count = Math.max(1, details.claims.length, details.prices.length);
  return Array.from({ length: count }, (_, index) => ({
    ...(index === 0 ? first : {}),
    ...claimCells(details.claims[index]),
    ...priceCells(details.prices[index]),
    name: tool.name,
    tool_id: tool.id,
  }));
}

function claimCells(claim: Claim | undefined): Cells {
  if (claim === undefined) return {};
  return {
    claim_kind: claimKindWords[claim.kind],
    claim_torque: numberCell(claim.torqueNm),
    claim_source: claim.source,
    claim_stated_on: claim.statedOn ?? '',
  };
}

function priceCells(price: Price | undefined): Cells {
  if (price === undefined) return {};
  return {
    price_kind: priceKindWords[price.kind],
    price_amount: numberCell(price.amount),
    price_currency: price.currency,
    price_on: price.on,
    price_source: price.source,
  };
}

/** All digits, so that reading it back gives the same number. */
function numberCell(value: number | null): string {
  return value === null ? '' : String(value);
}
