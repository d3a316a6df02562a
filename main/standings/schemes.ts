import { readyMadeSchemes } from '../../shared-lib/standings/ready-made-schemes.ts';
import type { SchemeVersion } from '../../shared-lib/standings/scheme-model.ts';
import type { ReadableDatabase } from '../storage/database.ts';
import { listOwnSchemes, listOwnSchemeVersions, schemeNotFound } from '../storage/scheme-repository.ts';

/** What a draft is called as long as it has no id of its own; no stored scheme has it. */
export const DRAFT_ID = 'draft';

/** The newest version of each, ready-made ones first. */
export function listNewestSchemes(database: ReadableDatabase): SchemeVersion[] {
  return [...readyMadeSchemes, ...listOwnSchemes(database)];
}

/** Newest first. Errors: AppError 'scheme-not-found'. */
export function listVersions(database: ReadableDatabase, schemeId: string): SchemeVersion[] {
  const readyMade = readyMadeSchemes.filter((scheme) => scheme.schemeId === schemeId);
  const versions = readyMade.length > 0 ? readyMade : listOwnSchemeVersions(database, schemeId);
  if (versions.length === 0) throw schemeNotFound(schemeId);
  return versions;
}

export function isReadyMade(schemeId: string): boolean {
  return readyMadeSchemes.some((scheme) => scheme.schemeId === schemeId);
}

/**
 * A scheme and all that it refers to, directly or by way of others, each once. A draft stands for the stored scheme with its id.
 * What is not there is left out: whoever computes says so.
 */
export function withReferences(first: SchemeVersion, all: readonly SchemeVersion[]): SchemeVersion[] {
  const byId = new Map(all.map((scheme) => [scheme.schemeId, scheme]));
  byId.set(first.schemeId, first);
  const found = new Set([first]);
  // A set hands out what is added while it is gone through.
  for (const { terms } of found) {
    for (const { measure } of terms) {
      const referred = measure.of === 'scheme' ? byId.get(measure.schemeId) : undefined;
      if (referred !== undefined) found.add(referred);
    }
  }
  return [...found];
}
