import { z } from 'zod';
import {
  DATA_FOLDER,
  FIGURES_FILE,
  isRecordFile,
  MANIFEST_FILE,
  PUBLISHED_FOLDER,
} from '../package/package-tables.ts';
import { PACKAGE_FORMAT, type PackageManifest, packageManifestSchema } from '../package/package-model.ts';
import { NotAPackage } from './not-a-package.ts';
import { MOST_TEXT_BYTES, type PackageFiles } from './package-files.ts';
import { sha256 } from './sha256.ts';
import { reasonOf } from './table-row.ts';
import type { Tally } from './tally.ts';

/** Of a Frictionless Data Package what is needed here; whatever else stands in it is left alone. */
const descriptorSchema = z.looseObject({
  proofarm: packageManifestSchema,
  resources: z.array(
    z.looseObject({
      name: z.string(),
      path: z.string(),
      bytes: z.int().min(0),
      hash: z.string(),
    }),
  ),
});

/**
 * That every file is there, is as long as datapackage.json says, and is the same byte for byte; and that nothing lies beside.
 *
 * Errors: NotAPackage where there is no datapackage.json of this program, it is of another format, or a file is too long to be read
 * as a text.
 */
export async function checkFiles(
  files: PackageFiles,
  tally: Tally,
): Promise<{ readonly manifest: PackageManifest; readonly fingerprint: string }> {
  const names = new Set(files.names());
  if (!names.has(MANIFEST_FILE)) {
    throw new NotAPackage(MANIFEST_FILE, 'There is no datapackage.json, so this is no data package.');
  }
  const bytes = await files.bytes(MANIFEST_FILE);
  refuseTooLong(MANIFEST_FILE, bytes);
  const { proofarm: manifest, resources } = readDescriptor(await files.text(MANIFEST_FILE));
  if (manifest.format !== PACKAGE_FORMAT) {
    throw new NotAPackage(
      MANIFEST_FILE,
      `The package has format ${manifest.format}, and this program reads format ${PACKAGE_FORMAT}. Nothing was computed; take the recompute.mjs that lies in the package.`,
    );
  }

  const listed = new Set<string>();
  for (const { path, bytes: size, hash } of resources) {
    if (listed.has(path)) tally.differ('files', path, 'It is listed twice in datapackage.json.');
    listed.add(path);
    if (!names.has(path)) {
      tally.differ('files', path, 'It is listed in datapackage.json, and is not there.');
      continue;
    }
    const content = await files.bytes(path);
    refuseTooLong(path, content);
    const found = `sha256:${sha256(content)}`;
    if (content.byteLength !== size) {
      tally.differ('files', path, `It has ${content.byteLength} bytes, and datapackage.json says ${size}.`);
    } else if (found !== hash) {
      tally.differ('files', path, `Its SHA-256 is ${found.slice(7)}, and datapackage.json says ${hash}.`);
    } else tally.agree('files');
  }
  for (const name of names) {
    if (listed.has(name) || name === MANIFEST_FILE) continue;
    tally.differ('files', name, 'It lies in the package, and datapackage.json does not list it.');
    if (isReadAsText(name)) refuseTooLong(name, await files.bytes(name));
  }
  return { manifest, fingerprint: sha256(bytes) };
}

/** At once: what rests on a table that cannot be read would be told as if it differed. */
function refuseTooLong(path: string, { byteLength }: Uint8Array): void {
  if (byteLength <= MOST_TEXT_BYTES || !isReadAsText(path)) return;
  throw new NotAPackage(
    path,
    `It has ${byteLength} bytes, and no more than ${MOST_TEXT_BYTES} of one file can be read here. That says nothing against the package: ask for one of fewer trials.`,
  );
}

function isReadAsText(path: string): boolean {
  return (
    path === MANIFEST_FILE ||
    path === FIGURES_FILE ||
    path.startsWith(PUBLISHED_FOLDER) ||
    (path.startsWith(DATA_FOLDER) && !isRecordFile(path))
  );
}

function readDescriptor(text: string): z.infer<typeof descriptorSchema> {
  try {
    return descriptorSchema.parse(JSON.parse(text));
  } catch (cause) {
    throw new NotAPackage(
      MANIFEST_FILE,
      `It is not what this program writes there, so nothing can be computed. ${reasonOf(cause)}`,
    );
  }
}
