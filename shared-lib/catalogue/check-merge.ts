import type { CatalogueTool } from './catalogue-model.ts';
import { driveSizeWords, supplyWords, toolClassWords } from './catalogue-words.ts';

type Mergeable = Pick<CatalogueTool, 'tool' | 'details' | 'mergedIntoToolId'>;

/**
 * Why the trials of one tool may not count to another from now on, with what to put right first; null: they may. `nameOf`
 * gives the name of any tool.
 */
export function whyNotMerged(
  from: Mergeable,
  into: Mergeable,
  nameOf: (toolId: string) => string,
): string | null {
  const [a, b] = [`“${from.tool.name}”`, `“${into.tool.name}”`];
  if (from.tool.id === into.tool.id) return 'A tool cannot be merged into itself. Choose another one.';
  if (into.mergedIntoToolId === from.tool.id) {
    return `${b} was merged into ${a} already; the other way round would be a ring. Take that merge back first.`;
  }
  if (from.mergedIntoToolId !== null) {
    return `${a} was merged into “${nameOf(from.mergedIntoToolId)}” already. Take that merge back first.`;
  }
  if (into.mergedIntoToolId !== null) {
    return `${b} was itself merged into “${nameOf(into.mergedIntoToolId)}”. Choose that one.`;
  }
  const differences = [
    differ('class', from.details.toolClass, into.details.toolClass, (value) => toolClassWords[value]),
    differ('drive', from.details.driveSize, into.details.driveSize, (value) => driveSizeWords[value]),
    differ('supply', from.tool.supply, into.tool.supply, (value) => supplyWords[value]),
  ].filter((difference) => difference !== null);
  if (differences.length === 0) return null;
  const words = differences.map(
    ({ what, one, other }) => `${a} has the ${what} “${one}” and ${b} the ${what} “${other}”`,
  );
  return `${words.join('; ')}. One tool would stand in two places of a table. Put right the one that is wrong, or leave them as two tools.`;
}

function differ<Value extends string>(
  what: string,
  one: Value | null,
  other: Value | null,
  words: (value: Value) => string,
): { what: string; one: string; other: string } | null {
  if (one === null || other === null || one === other) return null;
  return { what, one: words(one), other: words(other) };
}
