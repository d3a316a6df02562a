import type { RequestResult } from '../../shared-lib/api-contract.ts';
import { contenderLookupOf } from '../../shared-lib/comparison/contender-lookup.ts';
import type { SchemeVersion } from '../../shared-lib/standings/scheme-model.ts';
import { listBenchItems } from '../storage/bench-item-repository.ts';
import { listContenders, listMerges } from '../storage/contender-repository.ts';
import { type ReadableDatabase, reading } from '../storage/database.ts';

type Reference = RequestResult<'listSchemeVersions'>['references'][number];

/**
 * Each contender that a share is taken of, by its stored key: the key by which it counts now, since merges change that and no stored
 * scheme, and what it is called. One that nobody knows any more is left out.
 */
export function describeReferences(
  database: ReadableDatabase,
  versions: readonly SchemeVersion[],
): Reference[] {
  const keys = new Set(
    versions.flatMap(({ terms }) =>
      terms.flatMap(({ how }) =>
        how.way === 'shareOfReference' && how.reference.is === 'contender' ? [how.reference.key] : [],
      ),
    ),
  );
  if (keys.size === 0) return [];
  return reading(() => {
    const items = listBenchItems(database);
    const lookup = contenderLookupOf(items, listMerges(database));
    const pulled = new Map(listContenders(database).contenders.map(({ key, label }) => [key, label]));
    // Of one without trials only the list of tools says how its name is written, or that there is one.
    const labelOf = (key: string): string => {
      const foldedName = key.startsWith('name:') ? key.slice('name:'.length) : '';
      const { label, setup, toolId } = lookup.contenderOf(key, foldedName, false);
      return setup === null ? (items.tools.find(({ id }) => id === toolId)?.name ?? '') : label;
    };
    return [...keys].flatMap((key): Reference[] => {
      const currentKey = lookup.currentKeyOf(key);
      const label = pulled.get(currentKey) ?? labelOf(currentKey);
      return label === '' ? [] : [{ key, currentKey, label }];
    });
  });
}
