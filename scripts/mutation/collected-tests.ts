import { expect } from 'vitest';

/**
 * Stands in for the test library in the unit tests while mutants run: tests are kept as functions that can be called
 * again and again. It knows as much of that library as those tests use, and nothing else.
 */
export interface CollectedTest {
  /** Names of its groups and its own. */
  readonly name: string;
  readonly run: () => unknown;
}

type Body = (...values: unknown[]) => unknown;

interface Group {
  readonly name: string;
  readonly beforeEach: Body[];
}

interface Collection {
  readonly groups: Group[];
  readonly tests: CollectedTest[];
  readonly beforeAll: Body[];
}

declare global {
  /** On the global object, since this module is loaded anew together with the tests. */
  var $collection: Collection | undefined;
}

function collection(): Collection {
  if (globalThis.$collection === undefined) throw new Error('A test was defined outside of a test file.');
  return globalThis.$collection;
}

/** What the test file defines that `load` imports; its `beforeAll` has run. */
export async function collectTests(load: () => Promise<unknown>): Promise<readonly CollectedTest[]> {
  const collected: Collection = { groups: [{ name: '', beforeEach: [] }], tests: [], beforeAll: [] };
  globalThis.$collection = collected;
  try {
    await load();
    for (const prepare of collected.beforeAll) await prepare();
    return collected.tests;
  } finally {
    globalThis.$collection = undefined;
  }
}

function defineTest(name: string, body: Body): void {
  const { groups, tests } = collection();
  const preparations = groups.flatMap((group) => group.beforeEach);
  tests.push({
    name: [...groups.slice(1).map((group) => group.name), name].join(' > '),
    run: async () => {
      for (const prepare of preparations) await prepare();
      await body();
    },
  });
}

function defineGroup(name: string, body: Body): void {
  const { groups } = collection();
  groups.push({ name, beforeEach: [] });
  body();
  groups.pop();
}

/** A list of a case is spread over the parameters. */
const argumentsOf = (values: unknown): unknown[] => (Array.isArray(values) ? values.slice() : [values]);

const forEach =
  (define: (name: string, body: Body) => void) =>
  (cases: readonly unknown[]) =>
  (name: string, body: Body): void => {
    for (const [index, values] of cases.entries()) {
      define(`${name} (${index + 1})`, () => body(...argumentsOf(values)));
    }
  };

export const it = Object.assign(defineTest, { each: forEach(defineTest) });
export const describe = Object.assign(defineGroup, { each: forEach(defineGroup) });

export function beforeAll(body: Body): void {
  collection().beforeAll.push(body);
}

export function beforeEach(body: Body): void {
  collection().groups.at(-1)?.beforeEach.push(body);
}

export { expect };
