import { AppError } from '../../shared-lib/app-error.ts';
import { type HandlingRating, handlingRatingSchema } from '../../shared-lib/catalogue/catalogue-model.ts';
import { type ReadableDatabase, reading, type WritableDatabase, writing } from './database.ts';
import { foldForSearch } from './search-folding.ts';

interface RatingRow extends Omit<HandlingRating, 'isBlind'> {
  is_blind: number;
}

/** All that were not withdrawn, the newest last; earlier ones of the same rater too. */
export function listStandingRatings(database: ReadableDatabase): HandlingRating[] {
  return reading(() =>
    database
      .prepare<[], RatingRow>(
        `SELECT id, tool_id AS toolId, rater, score, is_blind, note, at FROM handling_rating
         WHERE id NOT IN (SELECT rating_id FROM rating_withdrawal) ORDER BY id`,
      )
      .all()
      .map(({ is_blind, ...row }) => handlingRatingSchema.parse({ ...row, isBlind: is_blind === 1 })),
  );
}

export function insertRating(database: WritableDatabase, rating: Omit<HandlingRating, 'id'>): void {
  writing(database, () => {
    database
      .prepare(
        `INSERT INTO handling_rating (tool_id, rater, rater_folded, score, is_blind, note, at)
         VALUES (?, ?, ?, ?, ?, ?, ?)`,
      )
      .run(
        rating.toolId,
        rating.rater,
        foldForSearch(rating.rater),
        rating.score,
        Number(rating.isBlind),
        rating.note,
        rating.at,
      );
  });
}

/**
 * Takes a rating out of what counts; it stays stored with the reason. An earlier one of the same rater counts again.
 *
 * Errors: AppError 'rating-not-found' where there is none, or it is withdrawn already.
 */
export function withdrawRating(
  database: WritableDatabase,
  withdrawal: {
    readonly ratingId: number;
    readonly reason: string;
    readonly operator: string;
    readonly at: string;
  },
): void {
  const { ratingId, reason, operator, at } = withdrawal;
  writing(database, () => {
    const standing = database
      .prepare<[number]>(
        `SELECT 1 FROM handling_rating
         WHERE id = ? AND id NOT IN (SELECT rating_id FROM rating_withdrawal)`,
      )
      .get(ratingId);
    if (standing === undefined) {
      throw new AppError(
        'rating-not-found',
        'This rating is not there any more, or it was withdrawn already. Nothing was changed. Look at the tool again for the ratings that count.',
        { ratingId },
      );
    }
    database
      .prepare('INSERT INTO rating_withdrawal (rating_id, reason, operator, at) VALUES (?, ?, ?, ?)')
      .run(ratingId, reason, operator, at);
  });
}
