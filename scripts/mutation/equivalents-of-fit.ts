import type { Equivalent } from './equivalent-mutants.ts';

export const equivalentsOfFit: readonly Equivalent[] = [];
