import type { FaultKind } from '../../shared-lib/trial/trial-model.ts';

/** `slot` is on the live segment's axis; null where a fault has no place on it. */
export interface LiveFault {
  readonly kind: FaultKind;
  readonly segment: number;
  readonly slot: number | null;
  readonly count: number;
  readonly sentence: string;
}
