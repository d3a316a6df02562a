import type { RecomputeFinding } from '../package/package-model.ts';

/** Kinds of figures, in the order in which they are told. */
export const figureKinds = [
  'files',
  'rows',
  'references between tables',
  'sample rates from arrival times',
  'figures of trials from raw counts',
  'verdicts on quality',
  'states and names of trials',
  'calibrations',
  'daily checks',
  'comparisons',
  'what standings rest on',
  'points, totals and places',
  'ranges of places',
  'fingerprints',
  'lines of the table of figures',
] as const;
export type FigureKind = (typeof figureKinds)[number];

/** More findings of one kind than anybody reads are counted and told as one. */
const MOST_FINDINGS_OF_A_KIND = 400;

export interface Tally {
  agree(kind: FigureKind, count?: number): void;
  /** A figure that is another one; what is said names it before and after. */
  differ(kind: FigureKind, where: string, what: string): void;
  /** Worth knowing, and no difference: what could not be computed again, and why. */
  note(where: string, what: string): void;
  /** Agreed to 12 digits only, as another version of Node may round the last one otherwise. */
  agreeNearly(kind: FigureKind): void;
  result(): TallyResult;
}

export interface TallyResult {
  readonly counts: { readonly what: string; readonly agreeing: number; readonly differing: number }[];
  readonly agreeing: number;
  readonly differing: number;
  readonly findings: RecomputeFinding[];
}

export function createTally(): Tally {
  const counts = new Map<FigureKind, { agreeing: number; differing: number }>(
    figureKinds.map((kind) => [kind, { agreeing: 0, differing: 0 }]),
  );
  const differences: RecomputeFinding[] = [];
  const notes: RecomputeFinding[] = [];
  let nearly = 0;
  const of = (kind: FigureKind): { agreeing: number; differing: number } => {
    const count = counts.get(kind);
    if (count === undefined) throw new Error(`No such kind of figure: ${kind}`);
    return count;
  };
  return {
    agree(kind, count = 1) {
      of(kind).agreeing += count;
    },
    agreeNearly(kind) {
      of(kind).agreeing += 1;
      nearly += 1;
    },
    differ(kind, where, what) {
      const count = of(kind);
      count.differing += 1;
      if (count.differing <= MOST_FINDINGS_OF_A_KIND) differences.push({ where, what, isDifference: true });
    },
    note(where, what) {
      notes.push({ where, what, isDifference: false });
    },
    result() {
      const all = [...counts].map(([what, count]) => ({ what, ...count }));
      const untold = all.flatMap(({ what, differing }) =>
        differing <= MOST_FINDINGS_OF_A_KIND
          ? []
          : [
              {
                where: what,
                what: `${differing - MOST_FINDINGS_OF_A_KIND} more differences of this kind are not listed.`,
                isDifference: true,
              },
            ],
      );
      const nearlyNote = {
        where: 'all figures',
        what: `${nearly} of the figures agree to a relative 1e-12 and not to the last digit: another version of Node rounds some functions otherwise.`,
        isDifference: false,
      };
      return {
        counts: all.filter(({ agreeing, differing }) => agreeing + differing > 0),
        agreeing: all.reduce((sum, { agreeing }) => sum + agreeing, 0),
        differing: all.reduce((sum, { differing }) => sum + differing, 0),
        findings: [...differences, ...untold, ...(nearly === 0 ? [] : [nearlyNote]), ...notes],
      };
    },
  };
}
