import { createHash } from 'node:crypto';
import { statSync } from 'node:fs';
import type { Readable } from 'node:stream';
import { crc32 } from 'node:zlib';
import yauzl from 'yauzl';
import { AppError } from '../../shared-lib/app-error.ts';
import { whyNotUnpacked } from '../../shared-lib/package/check-entries.ts';
import { errnoOf } from '../storage/storage-errors.ts';
import { invalidPackage } from './package-problem.ts';

export interface PackageFile {
  /** All but folders. */
  readonly names: ReadonlySet<string>;
  /** Of all files together, unpacked. */
  readonly allBytes: number;
  bytesOf(name: string): number;
  /** Unpacked as it is taken. Errors: AppError 'package-invalid' where it is damaged or longer than it says. */
  read(name: string): AsyncGenerator<Uint8Array>;
  close(): void;
}

/** What it was listed with. */
export interface ListedFile {
  readonly path: string;
  readonly bytes: number;
  readonly sha256: string;
}

const PLAIN_FILE = 0o100000;
const FOLDER = 0o040000;
const FORMAT_OF_FILE = 0o170000;

/** Opens a ZIP and looks its directory through; nothing is unpacked yet. Errors: AppError 'package-invalid'. */
export async function openPackageFile(path: string): Promise<PackageFile> {
  let zip: yauzl.ZipFile;
  try {
    zip = await open(path);
  } catch (error) {
    throw zipProblem(error);
  }
  try {
    const entries = await listEntries(zip);
    const problem = whyNotUnpacked([...entries.values()].map(asZipEntry), statSync(path).size);
    if (problem !== null) throw invalidPackage(null, null, problem);
    return packageFile(zip, entries);
  } catch (error) {
    zip.close();
    throw zipProblem(error);
  }
}

function open(path: string): Promise<yauzl.ZipFile> {
  return new Promise((resolve, reject) => {
    // Names are looked at here, so that what is wrong with them can be said.
    const options = { lazyEntries: true, autoClose: false, decodeStrings: false, validateEntrySizes: true };
    yauzl.open(path, options, (error, zip) => {
      if (error) reject(error);
      else resolve(zip);
    });
  });
}

interface NamedEntry {
  readonly name: string;
  readonly entry: yauzl.Entry;
}

function listEntries(zip: yauzl.ZipFile): Promise<readonly NamedEntry[]> {
  return new Promise((resolve, reject) => {
    const entries: NamedEntry[] = [];
    zip.on('error', reject);
    zip.on('end', () => {
      resolve(entries);
    });
    zip.on('entry', (entry: yauzl.Entry) => {
      entries.push({ name: entry.fileNameRaw.toString('utf8'), entry });
      zip.readEntry();
    });
    zip.readEntry();
  });
}

function asZipEntry({ name, entry }: NamedEntry) {
  const format = (entry.externalFileAttributes >>> 16) & FORMAT_OF_FILE;
  return {
    name,
    packedBytes: entry.compressedSize,
    unpackedBytes: entry.uncompressedSize,
    isEncrypted: entry.isEncrypted(),
    // Programs of other systems leave it empty.
    isSpecial: format !== 0 && format !== PLAIN_FILE && format !== FOLDER,
  };
}

function packageFile(zip: yauzl.ZipFile, entries: readonly NamedEntry[]): PackageFile {
  const files = new Map(
    entries.filter(({ name }) => !name.endsWith('/')).map(({ name, entry }) => [name, entry]),
  );
  const entryOf = (name: string): yauzl.Entry => {
    const entry = files.get(name);
    if (entry) return entry;
    throw invalidPackage(name, null, 'The file is missing.');
  };
  return {
    names: new Set(files.keys()),
    allBytes: [...files.values()].reduce((sum, { uncompressedSize }) => sum + uncompressedSize, 0),
    bytesOf: (name) => entryOf(name).uncompressedSize,
    async *read(name) {
      const entry = entryOf(name);
      try {
        const stream = await openStream(zip, entry);
        let checksum = 0;
        for await (const piece of stream as AsyncIterable<Uint8Array>) {
          checksum = crc32(piece, checksum);
          yield piece;
        }
        // The library leaves it to its callers. It finds damage; changes on purpose are found by SHA-256.
        if (checksum !== entry.crc32) throw new Error('its checksum is another');
      } catch (error) {
        throw zipProblem(error, name);
      }
    },
    close() {
      zip.close();
    },
  };
}

function openStream(zip: yauzl.ZipFile, entry: yauzl.Entry): Promise<Readable> {
  return new Promise((resolve, reject) => {
    zip.openReadStream(entry, (error, stream) => {
      if (error) reject(error);
      else resolve(stream);
    });
  });
}

/** The library says what is wrong with a ZIP by plain errors; what the disk says has a code of the system. */
function zipProblem(error: unknown, name: string | null = null): unknown {
  if (error instanceof AppError) return error;
  const errno = errnoOf(error);
  const isOfDisk = errno !== null && !errno.startsWith('Z_');
  if (isOfDisk || !(error instanceof Error)) {
    return new AppError(
      'package-invalid',
      `The file cannot be read from its disk (${errno ?? String(error)}). Nothing was taken in. See to the disk it lies on, then try again.`,
      {},
      error,
    );
  }
  const said = error.message.replace(/\.$/, '');
  const problem =
    name === null
      ? `The file is no ZIP that can be read, or it is cut off (${said}).`
      : `The file cannot be unpacked: it is damaged, or not as long as it says (${said}).`;
  return invalidPackage(name, null, problem, error);
}

/**
 * A file, piece by piece, held against what it was listed with: at its end AppError 'package-invalid' where length or SHA-256 differ. So
 * nothing of it may count before it was read to its end.
 */
export async function* readListed(
  file: PackageFile,
  { path, bytes, sha256 }: ListedFile,
): AsyncGenerator<Uint8Array> {
  if (file.bytesOf(path) !== bytes) {
    throw invalidPackage(
      path,
      null,
      `It has ${file.bytesOf(path)} bytes, and datapackage.json says ${bytes}.`,
    );
  }
  const hash = createHash('sha256');
  for await (const piece of file.read(path)) {
    hash.update(piece);
    yield piece;
  }
  if (hash.digest('hex') === sha256) return;
  throw invalidPackage(
    path,
    null,
    'Its SHA-256 is not the one in datapackage.json: it was changed after the package was made, or on its way.',
  );
}
