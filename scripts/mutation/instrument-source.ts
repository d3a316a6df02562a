import ts from 'typescript';
import { hasBehaviour, type Mutant, parseSource } from './list-mutants.ts';

/**
 * The text with all its mutants in it, of which one at most is active: `$mutation.is(number)` says which. Loops tell
 * that they go round, so that an endless one can be ended. Lines stay where they are.
 */
export function instrumentSource(text: string, mutants: ReadonlyMap<number, Mutant>): string {
  const source = parseSource(text);
  const mutantsAt = Map.groupBy(mutants, ([, { start, end }]) => `${start}-${end}`);
  const written = (node: ts.Node): string => {
    const start = node.getStart(source);
    const inner = withChildren(node, start);
    // Of two nodes of one extent the inner one comes first, and takes them.
    const extent = `${start}-${node.end}`;
    const here = mutantsAt.get(extent) ?? [];
    mutantsAt.delete(extent);
    return withMutants(inner, here);
  };
  const withChildren = (node: ts.Node, start: number): string => {
    if (!hasBehaviour(node)) return text.slice(start, node.end);
    let result = '';
    let position = start;
    ts.forEachChild(node, (child) => {
      const childStart = child.getStart(source);
      if (childStart < position) return;
      result += text.slice(position, childStart) + (isLoopBody(child) ? tickingBody(child) : written(child));
      position = child.end;
    });
    return result + text.slice(position, node.end);
  };
  const tickingBody = (body: ts.Node): string => `{ $mutation.tick(); ${written(body)} }`;
  return `const $mutation = globalThis.$mutation;${text.slice(0, source.getStart(source))}${written(source)}`;
}

/** In braces, so that an `else` behind a statement stays with its own `if`. */
function withMutants(original: string, mutants: readonly (readonly [number, Mutant])[]): string {
  return mutants.reduce((text, [number, { operator, replacement }]) => {
    return operator === 'statement'
      ? `{ if (!$mutation.is(${number})) ${text} }`
      : `($mutation.is(${number}) ? (${replacement}) : ${text})`;
  }, original);
}

function isLoopBody(node: ts.Node): boolean {
  const { parent } = node;
  return ts.isIterationStatement(parent, false) && parent.statement === node;
}
