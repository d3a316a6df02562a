import { globSync, readFileSync } from 'node:fs';
import { posix } from 'node:path';
import ts from 'typescript';
import { inProject, projectRoot } from '../project-root.mjs';
import { numericHeart } from './numeric-heart.ts';

/**
 * The unit tests that import one of the files, with those that they import: themselves, or through others of the folder that
 * they belong to. Tests of what is built upon a file would find mutants too, but by chance and slowly.
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
      const imported = new Set(importsOf(file));
      const reached = reachableFrom(file, importsOf);
      const isBeside = (source: string): boolean =>
        posix.dirname(file) === `tests/unit/${posix.dirname(source)}`;
      return {
        file,
        reaches: files.filter((source) => imported.has(source) || (isBeside(source) && reached.has(source))),
      };
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
