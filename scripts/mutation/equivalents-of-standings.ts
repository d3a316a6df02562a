import type { Equivalent } from './equivalent-mutants.ts';

export const equivalentsOfStandings: readonly Equivalent[] = [];
