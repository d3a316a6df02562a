import { readdirSync, readFileSync } from 'node:fs';
import { join } from 'node:path';
import { z } from 'zod';
import { namedByFileOnly } from './allowed-licences.ts';

export interface InstalledPackage {
  /** From the root of the project: "node_modules/a" or "node_modules/a/node_modules/b". */
  readonly folder: string;
  readonly name: string;
  readonly version: string;
  /** SPDX; null: it names none. */
  readonly licence: string | null;
  /** Its licence and notice files, as they are. */
  readonly texts: readonly string[];
  readonly dependencies: readonly string[];
}

const lockSchema = z.object({ packages: z.record(z.string(), z.unknown()) });
const named = z.record(z.string(), z.string()).optional();
const oldForm = z.object({ type: z.string() });
const manifestSchema = z.object({
  name: z.string(),
  version: z.string(),
  license: z.union([z.string(), oldForm]).optional(),
  licenses: z.array(oldForm).optional(),
  dependencies: named,
  optionalDependencies: named,
});

/** Every package that lies in node_modules, as npm lists it there, with what its own package.json says of its licence. */
export function installedPackages(projectRoot: string): readonly InstalledPackage[] {
  const list = lockSchema.parse(readJson(join(projectRoot, 'node_modules', '.package-lock.json')));
  return Object.keys(list.packages)
    .map((folder) => readPackage(projectRoot, folder))
    .toSorted((a, b) => compare(a.name, b.name) || compare(a.folder, b.folder));
}

/** The same on every machine, whatever its language. */
function compare(a: string, b: string): number {
  if (a === b) return 0;
  return a < b ? -1 : 1;
}

function readPackage(projectRoot: string, folder: string): InstalledPackage {
  const manifest = manifestSchema.parse(readJson(join(projectRoot, folder, 'package.json')));
  const { name, version } = manifest;
  const texts = readdirSync(join(projectRoot, folder), { withFileTypes: true })
    .filter((entry) => entry.isFile() && /^(un)?(licen[cs]e|copying|notice)/i.test(entry.name))
    .map((entry) => readFileSync(join(projectRoot, folder, entry.name), 'utf8').trim());
  return {
    folder,
    name,
    version,
    licence: licenceOf(manifest, texts),
    texts,
    dependencies: Object.keys({ ...manifest.dependencies, ...manifest.optionalDependencies }),
  };
}

function licenceOf(manifest: z.infer<typeof manifestSchema>, texts: readonly string[]): string | null {
  const { name, license, licenses } = manifest;
  if (typeof license === 'string') return license;
  if (license !== undefined) return license.type;
  if (licenses !== undefined && licenses.length > 0) return licenses.map(({ type }) => type).join(' OR ');
  const known = Object.hasOwn(namedByFileOnly, name) ? namedByFileOnly[name] : undefined;
  return known && texts.some((text) => text.replaceAll(/\s+/g, ' ').includes(known.text))
    ? known.licence
    : null;
}

function readJson(path: string): unknown {
  return JSON.parse(readFileSync(path, 'utf8'));
}
