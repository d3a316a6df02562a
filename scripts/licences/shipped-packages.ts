import { readdirSync, readFileSync } from 'node:fs';
import { join } from 'node:path';
import { build } from 'esbuild';
import { z } from 'zod';
import type { InstalledPackage } from './installed-packages.ts';

/**
 * Which installed packages go out with the program: those of which a file is bundled, and those that package.json lists under "dependencies"
 * with all that they need. Electron, which the installers put around it, brings its own notices.
 */
export async function shippedPackages(
  projectRoot: string,
  installed: readonly InstalledPackage[],
): Promise<readonly InstalledPackage[]> {
  const folders = new Set([
    ...(await bundledFolders(projectRoot, ['main', 'shared-lib'])),
    ...(await bundledFolders(projectRoot, ['renderer'])),
    // Copied into the built program as they are, for reports.
    'node_modules/@fontsource/inter',
    ...dependencyFolders(projectRoot, installed),
  ]);
  return installed.filter(({ folder }) => folders.has(folder));
}

/** A start that takes in every source file, so that none of the real ones can be forgotten; it is bundled, and nothing is written. */
async function bundledFolders(projectRoot: string, sources: readonly string[]): Promise<readonly string[]> {
  const files = sources.flatMap((folder) => sourceFiles(projectRoot, folder));
  const { metafile } = await build({
    absWorkingDir: projectRoot,
    stdin: {
      contents: files.map((file) => `import ${JSON.stringify(file)};`).join('\n'),
      resolveDir: projectRoot,
    },
    bundle: true,
    write: false,
    metafile: true,
    platform: sources.includes('renderer') ? 'browser' : 'node',
    format: 'esm',
    outfile: 'nowhere/all.js',
    logLevel: 'error',
    external: ['electron', 'better-sqlite3', 'serialport'],
    loader: { '.woff': 'empty', '.woff2': 'empty', '.svg': 'empty', '.png': 'empty' },
  });
  return Object.keys(metafile.inputs)
    .map((path) => /^(?:.*\/)?node_modules\/(?:@[^/]+\/)?[^/]+/.exec(path)?.[0])
    .filter((folder) => folder !== undefined);
}

function sourceFiles(projectRoot: string, folder: string): readonly string[] {
  return readdirSync(join(projectRoot, folder), { recursive: true, withFileTypes: true })
    .filter((entry) => entry.isFile() && /\.tsx?$/.test(entry.name))
    .filter(({ name }) => !name.endsWith('.d.ts') && name !== 'vite.config.ts')
    .map((entry) => join(entry.parentPath, entry.name));
}

const projectSchema = z.object({ dependencies: z.record(z.string(), z.string()) });

function dependencyFolders(projectRoot: string, installed: readonly InstalledPackage[]): ReadonlySet<string> {
  const byFolder = new Map(installed.map((entry) => [entry.folder, entry]));
  const project = projectSchema.parse(JSON.parse(readFileSync(join(projectRoot, 'package.json'), 'utf8')));
  const found = new Set<string>();
  const take = (name: string, from: string): void => {
    const folder = resolveFolder(name, from, byFolder);
    // An optional one for another system is not here.
    if (folder === null || found.has(folder)) return;
    found.add(folder);
    for (const next of byFolder.get(folder)?.dependencies ?? []) take(next, folder);
  };
  for (const name of Object.keys(project.dependencies)) take(name, '');
  return found;
}

/** As Node looks for it: in the package itself, then outwards. */
function resolveFolder(
  name: string,
  from: string,
  byFolder: ReadonlyMap<string, InstalledPackage>,
): string | null {
  for (let at = from; ; at = at.slice(0, Math.max(0, at.lastIndexOf('/node_modules/')))) {
    const folder = `${at === '' ? '' : `${at}/`}node_modules/${name}`;
    if (byFolder.has(folder)) return folder;
    if (at === '') return null;
  }
}
