import type { Tool } from '../run-sheet/setup-model.ts';
import type { Claim, Price, ToolDetails } from './catalogue-model.ts';

/** A tool with all that is entered of it. */
export interface ToolEntry {
  readonly tool: Tool;
  readonly details: ToolDetails;
}

/** Of a tool of which nothing was ever entered. */
export const noDetails: ToolDetails = {
  maker: '',
  model: '',
  toolClass: null,
  driveSize: null,
  lengthM: null,
  massBareKg: null,
  massLoadedKg: null,
  claims: [],
  prices: [],
  note: '',
};

/** What contradicts itself in an entry, a sentence each; none: it may be stored. */
export function checkToolEntry({ details }: Pick<ToolEntry, 'details'>): string[] {
  const { massBareKg, massLoadedKg, claims, prices } = details;
  const problems: string[] = [];
  if (massBareKg !== null && massLoadedKg !== null && massLoadedKg < massBareKg) {
    problems.push(
      'The mass with its pack is less than the bare mass. Exchange them, or put the wrong one right.',
    );
  }
  if (haveTwins(claims.map(({ id }) => id)) || haveTwins(prices.map(({ id }) => id))) {
    problems.push('Two claims or two prices have the same id. Each needs one of its own.');
  }
  if (haveTwins(claims.map(claimPlace))) {
    problems.push(
      'Two claims of one kind, source and day differ. Remove one, or say in the source how they are told apart.',
    );
  }
  if (haveTwins(prices.map(pricePlace))) {
    problems.push(
      'Two prices of one kind, currency, source and day differ. Remove one, or say in the source how they are told apart.',
    );
  }
  return problems;
}

/** Where a claim stands, whatever it says. */
export function claimPlace({ kind, source, statedOn }: Omit<Claim, 'id'>): string {
  return JSON.stringify([kind, source, statedOn]);
}

export function pricePlace({ kind, currency, on, source }: Omit<Price, 'id'>): string {
  return JSON.stringify([kind, currency, on, source]);
}

function haveTwins(keys: readonly string[]): boolean {
  return new Set(keys).size < keys.length;
}
