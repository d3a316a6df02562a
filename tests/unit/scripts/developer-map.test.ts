import { globSync, readFileSync } from 'node:fs';
import { basename } from 'node:path';
import { describe, expect, it } from 'vitest';

const folders = ['main', 'renderer', 'shared-lib', 'scripts', 'tests', 'docs'];
const files = folders
  .flatMap((folder) => globSync(`${folder}/**/*.*`))
  .map((path) => path.replaceAll('\\', '/'));
const byName = Map.groupBy(files, (path) => basename(path));
const developers = readFileSync('DEVELOPERS.md', 'utf8');
const rowsOfMap = developers
  .split(/^## /m)
  .filter((chapter) => chapter.startsWith('Map: '))
  .flatMap((chapter) => chapter.split('\n').filter((line) => line.startsWith('| ')));

/** What stands as code in a row and is written in full: `main/work`, `compare-two.ts`; not `*-model.ts` or `bench-item-`. */
function namedIn(row: string): string[] {
  const named = [...row.matchAll(/`([^`]+)`/g)].map(([, text = '']) => text);
  return named.filter((text) => isPath(text) || /^[\w-]+\.(ts|tsx|mjs)$/.test(text));
}

function isPath(text: string): boolean {
  return folders.some((folder) => text.startsWith(`${folder}/`)) && !/[*()]/.test(text);
}

function isThere(named: string): boolean {
  if (!isPath(named)) return byName.has(named);
  const path = named.replace(/\/$/, '');
  return files.some((file) => [path, `${path}.ts`].includes(file) || file.startsWith(`${path}/`));
}

describe('the map for developers', () => {
  it('names files and folders that are there', () => {
    const named = rowsOfMap.flatMap(namedIn);
    expect(named.length).toBeGreaterThan(100);
    expect(named.filter((name) => !isThere(name))).toEqual([]);
  });

  it('names what stands in a file, where it says so', () => {
    const said = rowsOfMap.flatMap((row) => [
      ...row.matchAll(/`(?<name>[A-Za-z]+)` in `(?<file>[\w/-]+\.tsx?)`/g),
    ]);
    expect(said.length).toBeGreaterThan(2);
    for (const { groups } of said) {
      const { name = '', file = '' } = groups ?? {};
      const places = isPath(file) ? [file] : (byName.get(file) ?? []);
      const holds = places.some((path) => readFileSync(path, 'utf8').includes(name));
      expect(holds, `${name} in ${file}`).toBe(true);
    }
  });
});

describe('the scripts of the package', () => {
  it('stand in a document each', () => {
    const { scripts } = JSON.parse(readFileSync('package.json', 'utf8')) as {
      scripts: Record<string, string>;
    };
    const documents = `${developers}${readFileSync('README.md', 'utf8')}`;
    const unnamed = Object.keys(scripts).filter(
      (name) => !new RegExp(`npm (run )?${name}(?![\\w-])`).test(documents),
    );
    expect(Object.keys(scripts).length).toBeGreaterThan(10);
    expect(unnamed).toEqual([]);
  });
});
