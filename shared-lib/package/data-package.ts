import type { PackageManifest } from './package-model.ts';
import type { TableSchema } from './table-schemas.ts';

/** A file of the package as `datapackage.json` names it. */
export interface PackedFile {
  readonly path: string;
  readonly bytes: number;
  readonly sha256: string;
  readonly description: string | null;
  /** Of a CSV table. */
  readonly schema: TableSchema | null;
}

const licences: Readonly<Record<string, { readonly title: string; readonly path: string }>> = {
  'CC0-1.0': {
    title: 'Creative Commons Zero 1.0 Universal',
    path: 'https://creativecommons.org/publicdomain/zero/1.0/',
  },
  'CC-BY-4.0': {
    title: 'Creative Commons Attribution 4.0 International',
    path: 'https://creativecommons.org/licenses/by/4.0/',
  },
};

/**
 * `datapackage.json`. Source: specs.frictionlessdata.io, Data Package and Tabular Data Package, version 1; held against the published
 * JSON schemas in the tests.
 */
export function dataPackage(
  manifest: PackageManifest,
  licence: string | null,
  files: readonly PackedFile[],
): object {
  const terms = licence === null ? undefined : licences[licence];
  return {
    profile: 'data-package',
    name: `proofarm-${manifest.madeAt
      .slice(0, 19)
      .toLowerCase()
      .replaceAll(/[^0-9t]/g, '')}`,
    title: manifest.subject,
    created: manifest.madeAt,
    ...(terms && { licenses: [{ name: licence, ...terms }] }),
    proofarm: manifest,
    resources: files.map(resourceOf),
  };
}

function resourceOf({ path, bytes, sha256, description, schema }: PackedFile): object {
  const isTable = schema !== null;
  return {
    profile: isTable ? 'tabular-data-resource' : 'data-resource',
    name: resourceName(path),
    path,
    ...(description !== null && { description }),
    ...formOf(path),
    ...(!/\.(jpg|png|webp|bin)$/.test(path) && { encoding: 'utf-8' }),
    bytes,
    hash: `sha256:${sha256}`,
    ...(isTable && { schema }),
  };
}

/** Tables are known by their own name, which references use; everything else by its path. */
function resourceName(path: string): string {
  const table = /^data\/([a-z_]+)\.csv$/.exec(path)?.[1];
  return table ?? path.toLowerCase().replaceAll(/[^a-z0-9._/-]/g, '-');
}

const forms: Readonly<Record<string, { readonly format: string; readonly mediatype: string }>> = {
  csv: { format: 'csv', mediatype: 'text/csv' },
  json: { format: 'json', mediatype: 'application/json' },
  md: { format: 'md', mediatype: 'text/markdown' },
  mjs: { format: 'mjs', mediatype: 'text/javascript' },
  jpg: { format: 'jpg', mediatype: 'image/jpeg' },
  png: { format: 'png', mediatype: 'image/png' },
  webp: { format: 'webp', mediatype: 'image/webp' },
};

function formOf(path: string): object {
  return forms[path.slice(path.lastIndexOf('.') + 1)] ?? {};
}
