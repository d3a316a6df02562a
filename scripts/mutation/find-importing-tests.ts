import { globSync, readFileSync } from 'node:fs';
import { posix } from 'node:path';
import ts from 'typescript';
import { inProject, projectRoot } from '../project-root.mjs';
import { numericHeart } from './numeric-heart.ts';

/**
 * The unit tests beside the numeric heart that import one of the files, themselves or through others, with those that
 * they reach. Tests of what is built upon it would find mutants too, but by chance.
 */
export function findImportingTests(
  files: readonly string[],
): { readonly file: string; readonly reaches: readonly string[] }[] {
  const folders = new Set(
    Object.values(numericHeart).flatMap((names) => names.map((name) => posix.dirname(name))),
  );
  const importsOf = rememberImports();
  return [...folders]
    .flatMap((folder) => globSync(`tests/unit/shared-lib/${folder}/*.test.ts`, { cwd: projectRoot }))
    .map((path) => path.replaceAll('\\', '/'))
    .toSorted()
    .map((file) => {
      const reached = reachableFrom(file, importsOf);
      return { file, reaches: files.filter((source) => reached.has(source)) };
    })
    .filter(({ reaches }) => reaches.length > 0);
}

function reachableFrom(start: string, importsOf: (file: string) => readonly string[]): ReadonlySet<string> {
  const reached = new Set([start]);
  // What is added to a set while it is gone through is gone through as well.
  for (const file of reached) for (const imported of importsOf(file)) reached.add(imported);
  return reached;
}

function rememberImports(): (file: string) => readonly string[] {
  const known = new Map<string, readonly string[]>();
  return (file) => {
    const imports = known.get(file) ?? readImports(file);
    known.set(file, imports);
    return imports;
  };
}

function readImports(file: string): string[] {
  if (!file.endsWith('.ts')) return [];
  return ts
    .preProcessFile(readFileSync(inProject(file), 'utf8'))
    .importedFiles.map(({ fileName }) => fileName)
    .filter((name) => name.startsWith('.'))
    .map((name) => posix.join(posix.dirname(file), name));
}
