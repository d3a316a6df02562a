import { figureWords, valueWords } from './figure-words.ts';
import { createTally, type FigureKind, type Tally } from './tally.ts';

/** Figures are to be the same to the last digit; so much is allowed to what another engine rounds otherwise. */
export const RELATIVE_TOLERANCE = 1e-12;

/**
 * Holds what a package says against what was computed, leaf by leaf; every number, text, yes or no is a figure. A member that is
 * undefined counts as one that is not there.
 *
 * `where`: file or trial. `path`: members that lead to the value.
 */
export function compareValues(
  tally: Tally,
  kind: FigureKind,
  at: { readonly where: string; readonly path?: readonly string[] },
  said: unknown,
  computed: unknown,
): void {
  const path = at.path ?? [];
  const differ = (what: string): void => {
    tally.differ(kind, [at.where, figureWords(path)].filter((part) => part !== '').join(', '), what);
  };
  if (Array.isArray(said) && Array.isArray(computed)) {
    if (said.length !== computed.length) {
      differ(`the package has ${said.length} of them; computed: ${computed.length}.`);
      return;
    }
    said.forEach((one: unknown, index) => {
      compareValues(
        tally,
        kind,
        { where: at.where, path: [...path, elementName(one, index)] },
        one,
        computed[index],
      );
    });
    if (said.length === 0) tally.agree(kind);
    return;
  }
  if (isObject(said) && isObject(computed)) {
    for (const name of new Set([...Object.keys(said), ...Object.keys(computed)])) {
      compareValues(tally, kind, { where: at.where, path: [...path, name] }, said[name], computed[name]);
    }
    return;
  }
  if (said === undefined && computed === undefined) return;
  switch (agreement(said, computed)) {
    case 'same':
      tally.agree(kind);
      break;
    case 'nearly':
      tally.agreeNearly(kind);
      break;
    case 'different':
      differ(`the package says ${valueWords(said, path)}; computed: ${valueWords(computed, path)}.`);
  }
}

export function agreement(said: unknown, computed: unknown): 'same' | 'nearly' | 'different' {
  if (said === computed) return 'same';
  if (typeof said !== 'number' || typeof computed !== 'number') return 'different';
  const allowed = RELATIVE_TOLERANCE * Math.max(Math.abs(said), Math.abs(computed));
  return Math.abs(said - computed) <= allowed ? 'nearly' : 'different';
}

function isObject(value: unknown): value is Record<string, unknown> {
  return typeof value === 'object' && value !== null && !Array.isArray(value);
}

/** What tells an element from its neighbours, where it has something of the kind. */
function elementName(element: unknown, index: number): string {
  if (isObject(element)) {
    for (const name of [
      'termId',
      'key',
      'index',
      'levelNm',
      'atS',
      'sense',
      'property',
      'trialId',
      'code',
      'rule',
    ]) {
      const value = element[name];
      if (typeof value === 'string' || typeof value === 'number') return `#${value}`;
    }
    const { contender } = element;
    if (isObject(contender) && typeof contender['label'] === 'string') return `#${contender['label']}`;
  }
  return `#${index + 1}`;
}

/** Whether nothing in what was computed is another figure than what the package says. */
export function agreesWith(said: unknown, computed: unknown): boolean {
  const tally = createTally();
  compareValues(tally, 'rows', { where: '' }, said, computed);
  return tally.result().differing === 0;
}

/** Of the ways in which something may have been computed the one that the package says; where it is none of them, the first. */
export function wayThatAgrees<Way>(said: unknown, ways: readonly [Way, ...Way[]]): Way {
  return ways.find((way) => agreesWith(said, way)) ?? ways[0];
}

export function isNotEmpty<Item>(items: readonly Item[]): items is readonly [Item, ...Item[]] {
  return items.length > 0;
}
