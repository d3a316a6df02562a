import type { CatalogueTool, LikelyTwin } from './catalogue-model.ts';

/** Runs of letters shorter than this name models ("H5", "K5"): one letter more or less is another tool there. */
const LEAST_WORD = 4;
/** Words of this length may differ by two letters. */
const LONG_WORD = 8;
/** Names that are alike but for one word in so many tools are a list of words, not slips of the pen. */
const MOST_ALIKE = 300;

type Candidate = Pick<CatalogueTool, 'tool' | 'details' | 'mergedIntoToolId'>;

/**
 * Pairs of tools that are likely one, each with the reason: maker and model, or the names, read alike without case, spaces,
 * punctuation and accents; or one word of the name differs by a letter (two from eight letters on). Numbers always have to be
 * alike. Merged tools are settled, and of two that were put away nobody has to know.
 */
export function findTwins(tools: readonly Candidate[]): LikelyTwin[] {
  const open = tools.filter(({ mergedIntoToolId }) => mergedIntoToolId === null);
  const placeOf = new Map(open.map((candidate, index) => [candidate, index]));
  const found = new Map<string, LikelyTwin>();
  const note = (a: Candidate, b: Candidate, because: string): void => {
    const [first, second] = (placeOf.get(a) ?? 0) < (placeOf.get(b) ?? 0) ? [a, b] : [b, a];
    const key = JSON.stringify([first.tool.id, second.tool.id]);
    if (first === second || (first.tool.isArchived && second.tool.isArchived) || found.has(key)) return;
    found.set(key, { toolIds: [first.tool.id, second.tool.id], because });
  };

  const byModel = group(open, ({ details: { maker, model } }) =>
    maker === '' || model === '' ? null : squeeze(`${maker}${model}`),
  );
  for (const twins of byModel.values()) {
    eachPair(twins, (a, b) => {
      note(a, b, `Both are ${a.details.maker} ${a.details.model}.`);
    });
  }
  for (const twins of group(open, ({ tool }) => squeeze(tool.name)).values()) {
    eachPair(twins, (a, b) => {
      const because =
        a.tool.name.toLowerCase() === b.tool.name.toLowerCase()
          ? `Both have the name “${a.tool.name}”.`
          : `“${a.tool.name}” and “${b.tool.name}” differ by spaces, punctuation or accents only.`;
      note(a, b, because);
    });
  }
  for (const candidate of open) {
    for (const other of byModel.get(squeeze(candidate.tool.name)) ?? []) {
      note(candidate, other, `“${candidate.tool.name}” is maker and model of “${other.tool.name}”.`);
    }
  }
  for (const alike of groupByOtherWords(open).values()) {
    if (alike.length > MOST_ALIKE) continue;
    eachPair(alike, (a, b) => {
      if (!differByLetters(a.word, b.word) || areToldApart(a.tool, b.tool)) return;
      note(a.tool, b.tool, `“${a.tool.tool.name}” and “${b.tool.tool.name}” differ by a letter or two.`);
    });
  }
  return [...found.values()];
}

/** Letters and digits alone, in lower case and without accents. */
export function squeeze(text: string): string {
  return text
    .normalize('NFKD')
    .toLowerCase()
    .replace(/[^\p{L}\p{N}]/gu, '');
}

/** Fewest insertions, deletions, replacements and swaps of neighbours that make one text of the other. */
export function editDistance(a: string, b: string): number {
  const [from, to] = [Array.from(a), Array.from(b)];
  let beforeLast: number[] = [];
  let last = Array.from({ length: to.length + 1 }, (_, index) => index);
  for (const [row, letter] of from.entries()) {
    const next = [row + 1];
    for (const [column, other] of to.entries()) {
      const replaced = (last[column] ?? 0) + Number(letter !== other);
      const removed = (last[column + 1] ?? 0) + 1;
      const added = (next[column] ?? 0) + 1;
      const isSwap = row > 0 && column > 0 && letter === to[column - 1] && from[row - 1] === other;
      const swapped = isSwap ? (beforeLast[column - 1] ?? 0) + 1 : Infinity;
      next.push(Math.min(replaced, removed, added, swapped));
    }
    beforeLast = last;
    last = next;
  }
  return last[to.length] ?? 0;
}

function runsOf(name: string): string[] {
  return (
    name
      .normalize('NFKD')
      .toLowerCase()
      .replace(/\p{M}/gu, '')
      .match(/\p{L}+|\p{N}+/gu) ?? []
  );
}

function isWord(run: string): boolean {
  return run.length >= LEAST_WORD && /\p{L}/u.test(run);
}

interface WordOfName {
  readonly tool: Candidate;
  readonly word: string;
}

/** Long words of names, together where all else of the names is alike. */
function groupByOtherWords(tools: readonly Candidate[]): ReadonlyMap<string, readonly WordOfName[]> {
  const groups = new Map<string, WordOfName[]>();
  for (const tool of tools) {
    const runs = runsOf(tool.tool.name);
    for (const [index, word] of runs.entries()) {
      if (!isWord(word)) continue;
      const key = runs.with(index, '*').join(' ');
      const members = groups.get(key);
      if (members === undefined) groups.set(key, [{ tool, word }]);
      else members.push({ tool, word });
    }
  }
  return groups;
}

function differByLetters(a: string, b: string): boolean {
  const most = Math.min(a.length, b.length) >= LONG_WORD ? 2 : 1;
  return a !== b && Math.abs(a.length - b.length) <= most && editDistance(a, b) <= most;
}

/** What is entered of both says that they are two. */
function areToldApart(a: Candidate, b: Candidate): boolean {
  const differ = (one: string | null, other: string | null): boolean =>
    one !== null && other !== null && one !== other;
  return (
    a.tool.supply !== b.tool.supply ||
    differ(a.details.toolClass, b.details.toolClass) ||
    differ(a.details.driveSize, b.details.driveSize)
  );
}

function group(
  tools: readonly Candidate[],
  keyOf: (tool: Candidate) => string | null,
): ReadonlyMap<string, readonly Candidate[]> {
  const groups = new Map<string, Candidate[]>();
  for (const tool of tools) {
    const key = keyOf(tool);
    if (key === null || key === '') continue;
    const members = groups.get(key);
    if (members === undefined) groups.set(key, [tool]);
    else members.push(tool);
  }
  return groups;
}

function eachPair<Item>(items: readonly Item[], look: (a: Item, b: Item) => void): void {
  items.forEach((a, index) => {
    for (const b of items.slice(index + 1)) look(a, b);
  });
}
