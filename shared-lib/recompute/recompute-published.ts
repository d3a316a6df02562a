import { PUBLISHED_FOLDER } from '../package/package-tables.ts';
import { editionSchema } from '../standings/standings-model.ts';
import { NotAPackage } from './not-a-package.ts';
import type { PackageState } from './package-state.ts';
import { publishedComparisonSchema, recomputeComparison } from './recompute-comparison.ts';
import { publishedStandingsSchema, recomputeEdition, recomputeStandings } from './recompute-standings.ts';
import { reasonOf } from './table-row.ts';
import type { Tally } from './tally.ts';

/** Comparisons, standings and editions as they were shown. */
export async function recomputePublished(state: PackageState, tally: Tally): Promise<void> {
  const names = state.files.names().filter((name) => name.startsWith(PUBLISHED_FOLDER));
  for (const name of names.toSorted()) {
    try {
      await recomputeOne(state, name, tally);
    } catch (error) {
      if (!(error instanceof NotAPackage)) throw error;
      const where = error.where === name ? name : `${name}, ${error.where}`;
      tally.differ('comparisons', where, `${error.message} It cannot be computed again.`);
    }
  }
}

async function recomputeOne(state: PackageState, name: string, tally: Tally): Promise<void> {
  const content = parseJson(await state.files.text(name), name);
  const has = (member: string): boolean =>
    typeof content === 'object' && content !== null && member in content;
  if (has('comparison')) {
    const published = parsed(publishedComparisonSchema, content, name);
    await recomputeComparison(state, name, published, tally);
  } else if (has('summary')) recomputeEdition(state, name, parsed(editionSchema, content, name), tally);
  else if (has('standings')) {
    recomputeStandings(state, name, parsed(publishedStandingsSchema, content, name), tally);
  } else throw new NotAPackage(name, 'It is neither a comparison nor standings nor an edition.');
}

function parseJson(text: string, name: string): unknown {
  try {
    return JSON.parse(text);
  } catch (cause) {
    throw new NotAPackage(name, `It is no JSON: ${reasonOf(cause)}`);
  }
}

function parsed<Value>(
  schema: { safeParse(value: unknown): { success: true; data: Value } | { success: false; error: Error } },
  content: unknown,
  name: string,
): Value {
  const read = schema.safeParse(content);
  if (read.success) return read.data;
  throw new NotAPackage(name, `It is not what this program publishes. ${reasonOf(read.error)}`);
}
