import type { CarriedError } from '../storage/recording-protocol.ts';
import type { WorkInput, WorkName, WorkResult } from './works.ts';

/** What main and a work thread say to each other. */
export interface WorkRequest<Name extends WorkName = WorkName> {
  readonly name: Name;
  readonly input: WorkInput<Name>;
}

export type WorkReport<Name extends WorkName = WorkName> =
  | { readonly kind: 'progress'; readonly fraction: number; readonly sentence: string }
  | { readonly kind: 'done'; readonly result: WorkResult<Name> }
  | { readonly kind: 'failed'; readonly error: CarriedError };

export const CANCEL = 'cancel';
