import { z } from 'zod';
import { comparedStepSchema, trialMeasureSchema } from '../comparison/trial-measure.ts';
import type { ComparedStep, TrialMeasure } from '../comparison/trial-measure.ts';
import type { SchemeDraft, TermMeasure } from './scheme-model.ts';

/** A measure of the trials of one step, as `StandingsInput.measures` names it. */
export interface TrialMeasureOfStep {
  readonly step: ComparedStep;
  readonly measure: TrialMeasure;
}

const keySchema = z.strictObject({ step: comparedStepSchema, measure: trialMeasureSchema });

/** The same text for the same step and measure, whatever the order of their fields was. */
export function trialMeasureKey({ step, measure }: TrialMeasureOfStep): string {
  const { kind, direction, plannedS } = step;
  return JSON.stringify({ step: { kind, direction, plannedS }, measure: inOrder(measure) });
}

/** Errors: ZodError or SyntaxError for what `trialMeasureKey` never wrote. */
export function parseTrialMeasureKey(key: string): TrialMeasureOfStep {
  return keySchema.parse(JSON.parse(key));
}

/** Each trial measure that the terms of the schemes ask for, once, in the order in which they come. */
export function measuresOfSchemes(schemes: readonly Pick<SchemeDraft, 'terms'>[]): string[] {
  const keys = schemes.flatMap(({ terms }) => terms.map(({ measure }) => measureKeyOf(measure)));
  return [...new Set(keys.filter((key) => key !== null))];
}

/** Null: the term asks for nothing of the trials themselves. */
export function measureKeyOf(measure: TermMeasure): string | null {
  return measure.of === 'trial' || measure.of === 'ratio' ? trialMeasureKey(measure) : null;
}

function inOrder(measure: TrialMeasure): TrialMeasure {
  switch (measure.figure) {
    case 'torqueAt':
      return { figure: measure.figure, atS: measure.atS };
    case 'timeToLevel':
      return { figure: measure.figure, levelNm: measure.levelNm };
    default:
      return { figure: measure.figure };
  }
}
