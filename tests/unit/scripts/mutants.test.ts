import { runInThisContext } from 'node:vm';
import { afterEach, describe, expect, it } from 'vitest';
import { createMutationSwitch, EndlessLoop } from '../../../scripts/mutation/active-mutant.ts';
import { instrumentSource } from '../../../scripts/mutation/instrument-source.ts';
import { listMutants } from '../../../scripts/mutation/list-mutants.ts';

const changesOf = (text: string): string[] =>
  listMutants(text).map(({ original, replacement }) => `${original} => ${replacement || 'nothing'}`);

/** The source is this test's own. */
function functionOf(body: string): () => unknown {
  const made: unknown = runInThisContext(`(() => { ${body} })`);
  if (typeof made !== 'function') throw new Error('A function was written.');
  return () => Reflect.apply(made, undefined, []) as unknown;
}

/** What the source returns with each of its mutants in turn, the first without any. */
function outcomesOf(body: string): unknown[] {
  const mutants = new Map(listMutants(body).map((mutant, index) => [index + 1, mutant]));
  globalThis.$mutation = createMutationSwitch(mutants.size);
  const run = functionOf(instrumentSource(body, mutants));
  return [0, ...mutants.keys()].map((number): unknown => {
    globalThis.$mutation.active = number;
    return run();
  });
}

afterEach(() => {
  Reflect.deleteProperty(globalThis, '$mutation');
});

describe('the mutants of a source', () => {
  it('are small changes of operators, constants, branches and statements', () => {
    expect(changesOf('const sum = a + 2 * b;')).toEqual([
      'a + 2 * b => (a) - (2 * b)',
      '2 * b => (2) / (b)',
      '2 => 3',
      '2 => (-2)',
    ]);
    expect(changesOf('if (x < limit) stop();')).toEqual([
      'x < limit => (x) <= (limit)',
      'x < limit => (x) >= (limit)',
      'x < limit => true',
      'x < limit => false',
      'stop(); => nothing',
    ]);
    expect(changesOf('const chosen = isOpen ? [a] : -b;')).toEqual([
      'isOpen ? [a] : -b => (isOpen) ? (-b) : ([a])',
      '[a] => []',
      '-b => b',
    ]);
    expect(changesOf('const tenth = 0.1;')).toEqual(['0.1 => 0.11000000000000001', '0.1 => (-0.1)']);
    expect(changesOf('const all = list.every(isEven);')).toEqual(['list.every(isEven) => list.some(isEven)']);
  });

  it('are none of words, types, imports, and numbers that only the compiler asks for', () => {
    for (const text of [
      "import { two } from './two.ts';",
      'type Pair = readonly [1, 2];',
      "const words = 'one' + 'two';",
      'const at = list[i] ?? 0;',
      'const sizes: Readonly<Record<1 | 2, string>> = names;',
    ]) {
      expect(changesOf(text), text).toEqual([]);
    }
  });
});

describe('an instrumented source', () => {
  it('does what it did, but for the mutant that is active', () => {
    const outcomes = outcomesOf('let sum = 2 + 3 * 4; if (sum > 13) sum += 1; return sum;');
    expect(outcomes).toEqual([
      15,
      // 2 + 3 * 4: minus, 3 for 2, -2; divided; 4 for 3, -3; 5 for 4, -4.
      ...[-10, 16, 10, 2.75, 19, -10, 18, -10],
      // sum > 13: at least, at most, always, never; 14 for 13, -13.
      ...[15, 14, 15, 14, 14, 15],
      // sum += 1: left out, taken away; 2 for 1, 0.
      ...[14, 13, 16, 14],
    ]);
  });

  it('leaves an else with its own if', () => {
    const [asItIs] = outcomesOf(
      'let low = 1, high = 9; if (low > 5) low = 5; else high = 5; return [low, high];',
    );
    expect(asItIs).toEqual([1, 5]);
  });

  it('keeps its lines', () => {
    const text = 'const a = 1;\nfor (;;) {\n  break;\n}\n';
    const mutants = new Map(listMutants(text).map((mutant, index) => [index + 1, mutant]));
    expect(instrumentSource(text, mutants).split('\n')).toHaveLength(text.split('\n').length);
  });

  it('ends a loop that would not end, once its time is up', () => {
    globalThis.$mutation = createMutationSwitch(0);
    globalThis.$mutation.endsAtUs = 0;
    expect(() => functionOf(instrumentSource('for (;;) continue;', new Map()))()).toThrow(EndlessLoop);
  });
});
