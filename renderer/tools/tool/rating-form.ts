import type { RequestParams } from '../../../shared-lib/api-contract.ts';
import type { HandlingRating } from '../../../shared-lib/catalogue/catalogue-model.ts';
import type { FormReading } from '../../ui/form-reader.ts';

export interface RatingForm {
  readonly rater: string;
  /** As a text, since it is chosen from a list; null: none yet. */
  readonly score: string | null;
  readonly isBlind: boolean;
  readonly note: string;
}

export function readRatingForm(form: RatingForm, toolId: string): FormReading<RequestParams<'rateHandling'>> {
  const rater = form.rater.trim();
  const missing = [...(rater === '' ? ['who rates'] : []), ...(form.score === null ? ['the rating'] : [])];
  if (missing.length > 0) return { missing };
  return {
    value: { toolId, rater, score: Number(form.score), isBlind: form.isBlind, note: form.note.trim() },
  };
}

/** A rater's earlier judgement, which a new one replaces. */
export function earlierRating(ratings: readonly HandlingRating[], rater: string): HandlingRating | null {
  const wanted = foldRater(rater);
  return ratings.find((rating) => foldRater(rating.rater) === wanted) ?? null;
}

function foldRater(rater: string): string {
  return rater.trim().toLowerCase();
}
