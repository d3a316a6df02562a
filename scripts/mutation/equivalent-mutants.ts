import { equivalentsOfFit } from './equivalents-of-fit.ts';
import { equivalentsOfMeasures } from './equivalents-of-measures.ts';
import { equivalentsOfStandings } from './equivalents-of-standings.ts';
import { equivalentsOfVerdict } from './equivalents-of-verdict.ts';
import type { Mutant } from './list-mutants.ts';

/** The line of the source, then what stands there and what stands there instead. */
type Changed = readonly [lineText: string, original: string, replacement: string];

export interface Equivalent {
  /** In shared-lib. */
  readonly file: string;
  /** Why no input shows a difference beyond rounding. */
  readonly why: string;
  readonly changes: readonly Changed[];
}

/** Mutants that no test can find. */
const equivalents = [
  ...equivalentsOfMeasures,
  ...equivalentsOfFit,
  ...equivalentsOfVerdict,
  ...equivalentsOfStandings,
];

/** Null where a test could find it. */
export function whyEquivalent(
  path: string,
  { lineText, original, replacement }: Pick<Mutant, 'lineText' | 'original' | 'replacement'>,
): string | null {
  const found = equivalents.find(
    ({ file, changes }) =>
      path === `shared-lib/${file}.ts` &&
      changes.some((change) => change.join('\n') === [lineText, original, replacement].join('\n')),
  );
  return found?.why ?? null;
}
