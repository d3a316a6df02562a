import type { Measure } from '../../../../shared-lib/trial/trial-model.ts';

export function valueOf(measure: Measure): number {
  if ('refused' in measure) throw new Error(measure.refused);
  return measure.value;
}

export function refusalOf(measure: object): string {
  if ('refused' in measure && typeof measure.refused === 'string') return measure.refused;
  throw new Error(`was given as ${JSON.stringify(measure)}`);
}
