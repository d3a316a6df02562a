import { createHash } from 'node:crypto';
import { z } from 'zod';
import {
  type PackageManifest,
  PACKAGE_FORMAT,
  packageManifestSchema,
} from '../../shared-lib/package/package-model.ts';
import { MANIFEST_FILE } from '../../shared-lib/package/package-tables.ts';
import { DEFINITION_VERSION } from '../../shared-lib/trial/definition-version.ts';
import { newestVersion } from '../storage/migrate.ts';
import { allMigrations } from '../storage/migrations/all-migrations.ts';
import type { ListedFile, PackageFile } from './package-file.ts';
import { invalidPackage, newerPackage } from './package-problem.ts';

export interface ReadManifest {
  readonly manifest: PackageManifest;
  /** SHA-256 of datapackage.json. */
  readonly fingerprint: string;
  readonly files: ReadonlyMap<string, ListedFile>;
}

/** Some 1.5 kB a trial. */
const MOST_BYTES = 512 * 2 ** 20;
/** Packages have been written since this form of the database. */
const FIRST_SCHEMA = 80;

const versionsSchema = z.looseObject({
  format: z.int(),
  schemaVersion: z.int(),
  definitionVersion: z.int(),
  softwareVersion: z.string(),
});
const resourceSchema = z.looseObject({
  path: z.string(),
  bytes: z.int().min(0),
  hash: z.string().regex(/^sha256:[0-9a-f]{64}$/),
});
const descriptorSchema = z.looseObject({ proofarm: z.unknown(), resources: z.array(z.unknown()) });

/**
 * Reads `datapackage.json`, and holds the files that it names against those that are there.
 *
 * Errors: AppError 'package-invalid', also for a package of a newer version.
 */
export async function readManifest(file: PackageFile): Promise<ReadManifest> {
  if (!file.names.has(MANIFEST_FILE)) {
    throw invalidPackage(
      MANIFEST_FILE,
      null,
      'The file is missing, so this is no data package, or a folder was packed around it.',
    );
  }
  if (file.bytesOf(MANIFEST_FILE) > MOST_BYTES) {
    throw invalidPackage(MANIFEST_FILE, null, `It is longer than ${MOST_BYTES} bytes.`);
  }
  const pieces: Uint8Array[] = [];
  for await (const piece of file.read(MANIFEST_FILE)) pieces.push(piece);
  const bytes = Buffer.concat(pieces);
  const { proofarm, resources } = parseJson(bytes);
  const manifest = manifestOf(proofarm);
  const files = new Map<string, ListedFile>();
  resources.forEach((entry, index) => {
    const read = resourceSchema.safeParse(entry);
    if (!read.success) {
      throw invalidPackage(
        MANIFEST_FILE,
        null,
        `Resource ${index + 1} does not say its path, its bytes and its SHA-256.`,
        read.error,
      );
    }
    const { path, hash } = read.data;
    if (files.has(path)) throw invalidPackage(MANIFEST_FILE, null, `It names ${path} twice.`);
    files.set(path, { path, bytes: read.data.bytes, sha256: hash.slice('sha256:'.length) });
  });
  refuseOtherFiles(file, files);
  return { manifest, fingerprint: createHash('sha256').update(bytes).digest('hex'), files };
}

function parseJson(bytes: Uint8Array): z.infer<typeof descriptorSchema> {
  try {
    const text = new TextDecoder('utf-8', { fatal: true }).decode(bytes);
    return descriptorSchema.parse(JSON.parse(text));
  } catch (error) {
    throw invalidPackage(MANIFEST_FILE, null, 'It is no description of a data package.', error);
  }
}

function manifestOf(value: unknown): PackageManifest {
  const versions = versionsSchema.safeParse(value);
  if (!versions.success) {
    throw invalidPackage(
      MANIFEST_FILE,
      null,
      'It is a data package, but not one of this program: what it says of itself under "proofarm" is missing or incomplete.',
      versions.error,
    );
  }
  const { format, schemaVersion, definitionVersion, softwareVersion } = versions.data;
  const newest = newestVersion(allMigrations);
  if (format > PACKAGE_FORMAT || schemaVersion > newest || definitionVersion > DEFINITION_VERSION) {
    throw newerPackage(
      `The package was made by version ${softwareVersion.slice(0, 40)} of the program, in a newer form than this one knows (format ${format}, form ${schemaVersion}, definitions ${definitionVersion}; known here: ${PACKAGE_FORMAT}, ${newest}, ${DEFINITION_VERSION}).`,
    );
  }
  const read = packageManifestSchema.safeParse(value);
  if (!read.success || format < 1 || schemaVersion < FIRST_SCHEMA || definitionVersion < 1) {
    throw invalidPackage(
      MANIFEST_FILE,
      null,
      'What it says of itself under "proofarm" is not what this program writes.',
      read.error,
    );
  }
  const { id, name } = read.data.bench;
  if (id.length < 1 || id.length > 64 || name.trim() === '' || name.length > 80) {
    throw invalidPackage(MANIFEST_FILE, null, 'Its bench has no usable id or name.');
  }
  return read.data;
}

function refuseOtherFiles(file: PackageFile, listed: ReadonlyMap<string, ListedFile>): void {
  for (const path of listed.keys()) {
    if (!file.names.has(path)) {
      throw invalidPackage(path, null, 'The file is missing; datapackage.json names it.');
    }
  }
  for (const name of file.names) {
    if (name !== MANIFEST_FILE && !listed.has(name)) {
      throw invalidPackage(name, null, 'datapackage.json does not name this file, so nobody vouches for it.');
    }
  }
}
