import type { RequestResult } from '../../shared-lib/api-contract.ts';
import type { Annotation } from '../../shared-lib/trial/trial-trail.ts';
import { type ReadableDatabase, reading, type WritableDatabase, writing } from './database.ts';
import { trialNotFound } from './recording-repository.ts';
import { foldForSearch } from './search-folding.ts';
import { refreshListing } from './trial-listing.ts';
import { newestAnnotation } from './trial-trail.ts';

/**
 * Note and tags of a trial from now on; what stood there before stays beneath. Tags that differ in case only count as one.
 * Nothing is written where nothing is another.
 *
 * Errors: AppError 'trial-not-found'.
 */
export function annotate(database: WritableDatabase, trialId: string, annotation: Annotation): void {
  const { note, operator, at } = annotation;
  const tags = [...new Map(annotation.tags.toReversed().map((tag) => [foldForSearch(tag), tag])).values()];
  tags.reverse();
  writing(database, () => {
    if (database.prepare('SELECT 1 FROM trial WHERE id = ?').get(trialId) === undefined) {
      throw trialNotFound(trialId);
    }
    const before = newestAnnotation(database, trialId) ?? { note: '', tags: [] };
    const tagsJson = JSON.stringify(tags);
    if (before.note === note && JSON.stringify(before.tags) === tagsJson) return;
    database
      .prepare(
        'INSERT INTO trial_annotation (trial_id, note, tags_json, operator, at) VALUES (?, ?, ?, ?, ?)',
      )
      .run(trialId, note, tagsJson, operator, at);
    refreshListing(database, trialId);
  });
}

/** All that are in use, by name, with how many trials have them. */
export function listTags(database: ReadableDatabase): RequestResult<'listTags'>['tags'] {
  return reading(() =>
    database
      .prepare<[], { tag: string; count: number }>(
        'SELECT max(tag) AS tag, count(*) AS count FROM trial_tag GROUP BY tag_folded ORDER BY tag_folded',
      )
      .all(),
  );
}
