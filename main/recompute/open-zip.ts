import { closeSync, fstatSync, openSync, readSync } from 'node:fs';
import { inflateRawSync } from 'node:zlib';
import { NotAPackage } from '../../shared-lib/recompute/not-a-package.ts';
import type { PackageFiles } from '../../shared-lib/recompute/package-files.ts';

/** What of an entry its line in the directory at the end says. */
interface Entry {
  readonly method: number;
  readonly packedBytes: number;
  readonly bytes: number;
  readonly headerAt: number;
}

const END = 0x06054b50;
const END_64 = 0x06064b50;
const END_64_LOCATOR = 0x07064b50;
const DIRECTORY = 0x02014b50;
const LOCAL = 0x04034b50;
const STORED = 0;
const DEFLATED = 8;

/** Ours: no record of a trial comes near, and nothing is to fill the memory of whoever looks into a package. */
export const MOST_BYTES = 2 ** 30;
export const LARGER_THAN_ANY = 'It is larger than any file of a package.';
const MOST_ENTRIES = 1_000_000;

/**
 * A ZIP by the published format description (APPNOTE 6.3), as far as packages need it: entries stored or deflated, in one part, not
 * encrypted, with 64-bit sizes where they are there. Own and small, since the file that this becomes part of runs by itself.
 *
 * Errors: NotAPackage naming what is wrong; names that are there twice, climb out or are absolute are refused.
 */
export function openZip(path: string): PackageFiles {
  const entries = withFile(path, (readAt, size) => readDirectory(path, size, readAt));
  const read = (name: string): Buffer => {
    const entry = entries.get(name);
    if (entry === undefined) throw new NotAPackage(name, 'The file is not there.');
    return withFile(path, (readAt) => unpack(name, entry, readAt));
  };
  return {
    names: () => [...entries.keys()].toSorted(),
    bytes: (name) => Promise.resolve().then(() => read(name)),
    text: (name) => Promise.resolve().then(() => read(name).toString()),
  };
}

/** Opened for each piece: whoever looks into a package does not say when that is enough. */
function withFile<Value>(path: string, use: (readAt: ReadAt, size: number) => Value): Value {
  const file = openSync(path, 'r');
  try {
    const readAt: ReadAt = (at, length) => {
      const buffer = Buffer.alloc(length);
      if (readSync(file, buffer, 0, length, at) < length) {
        throw new NotAPackage(path, 'The file ends in the middle: it was not copied whole.');
      }
      return buffer;
    };
    return use(readAt, fstatSync(file).size);
  } finally {
    closeSync(file);
  }
}

type ReadAt = (at: number, length: number) => Buffer;

function readDirectory(path: string, size: number, readAt: ReadAt): ReadonlyMap<string, Entry> {
  const { count, at, length } = findDirectory(path, size, readAt);
  if (count > MOST_ENTRIES || length > MOST_BYTES || at + length > size) {
    throw new NotAPackage(path, 'Its directory is larger than that of any package.');
  }
  const directory = readAt(at, length);
  const entries = new Map<string, Entry>();
  let offset = 0;
  for (let index = 0; index < count; index += 1) {
    if (offset + 46 > length || directory.readUInt32LE(offset) !== DIRECTORY) {
      throw new NotAPackage(path, 'Its directory is damaged.');
    }
    const flags = directory.readUInt16LE(offset + 8);
    const nameLength = directory.readUInt16LE(offset + 28);
    const extraLength = directory.readUInt16LE(offset + 30);
    const commentLength = directory.readUInt16LE(offset + 32);
    if (offset + 46 + nameLength + extraLength + commentLength > length) {
      throw new NotAPackage(path, 'Its directory is damaged.');
    }
    const name = directory.toString('utf8', offset + 46, offset + 46 + nameLength);
    const extra = directory.subarray(offset + 46 + nameLength, offset + 46 + nameLength + extraLength);
    if ((flags & 1) !== 0) throw new NotAPackage(name, 'It is encrypted, and no package is.');
    if (!name.endsWith('/')) {
      if (isUnsafe(name))
        throw new NotAPackage(path, `It has a file with a name that leads elsewhere: “${name}”.`);
      if (entries.has(name)) throw new NotAPackage(path, `It has two files called “${name}”.`);
      entries.set(name, readEntry(directory, offset, extra));
    }
    offset += 46 + nameLength + extraLength + commentLength;
  }
  return entries;
}

function readEntry(directory: Buffer, offset: number, extra: Buffer): Entry {
  const wide = wideSizes(extra);
  const sizeOr = (at: number): number => {
    const value = directory.readUInt32LE(offset + at);
    return value === 0xffffffff ? (wide.shift() ?? value) : value;
  };
  // The order in which the wide ones stand.
  const bytes = sizeOr(24);
  const packedBytes = sizeOr(20);
  return {
    method: directory.readUInt16LE(offset + 10),
    packedBytes,
    bytes,
    headerAt: sizeOr(42),
  };
}

function wideSizes(extra: Buffer): number[] {
  for (let at = 0; at + 4 <= extra.length; at += 4 + extra.readUInt16LE(at + 2)) {
    if (extra.readUInt16LE(at) !== 1) continue;
    const end = Math.min(extra.length, at + 4 + extra.readUInt16LE(at + 2));
    const sizes: number[] = [];
    for (let field = at + 4; field + 8 <= end; field += 8) sizes.push(Number(extra.readBigUInt64LE(field)));
    return sizes;
  }
  return [];
}

/** The record at the end may be followed by a comment of up to 64 KiB. */
function findDirectory(
  path: string,
  size: number,
  readAt: ReadAt,
): { readonly count: number; readonly at: number; readonly length: number } {
  const tailLength = Math.min(size, 22 + 0xffff);
  const tail = readAt(size - tailLength, tailLength);
  for (let at = tailLength - 22; at >= 0; at -= 1) {
    if (tail.readUInt32LE(at) !== END) continue;
    const count = tail.readUInt16LE(at + 10);
    const length = tail.readUInt32LE(at + 12);
    const start = tail.readUInt32LE(at + 16);
    if (count !== 0xffff && length !== 0xffffffff && start !== 0xffffffff)
      return { count, at: start, length };
    const locatorAt = size - tailLength + at - 20;
    if (locatorAt < 0) break;
    const locator = readAt(locatorAt, 20);
    if (locator.readUInt32LE(0) !== END_64_LOCATOR) break;
    const end = readAt(Number(locator.readBigUInt64LE(8)), 56);
    if (end.readUInt32LE(0) !== END_64) break;
    return {
      count: Number(end.readBigUInt64LE(32)),
      length: Number(end.readBigUInt64LE(40)),
      at: Number(end.readBigUInt64LE(48)),
    };
  }
  throw new NotAPackage(path, 'It is neither a folder nor a ZIP file.');
}

function isUnsafe(name: string): boolean {
  return name.startsWith('/') || /[\\:\0]/.test(name) || name.split('/').includes('..');
}

function unpack(name: string, { method, packedBytes, bytes, headerAt }: Entry, readAt: ReadAt): Buffer {
  if (bytes > MOST_BYTES || packedBytes > MOST_BYTES) {
    throw new NotAPackage(name, LARGER_THAN_ANY);
  }
  const header = readAt(headerAt, 30);
  if (header.readUInt32LE(0) !== LOCAL)
    throw new NotAPackage(name, 'The ZIP is damaged where this file begins.');
  const packed = readAt(headerAt + 30 + header.readUInt16LE(26) + header.readUInt16LE(28), packedBytes);
  const unpacked = method === DEFLATED ? inflate(name, packed, bytes) : packed;
  if (method !== DEFLATED && method !== STORED) {
    throw new NotAPackage(name, `It is packed in a way (${method}) that no package uses.`);
  }
  if (unpacked.length !== bytes) {
    throw new NotAPackage(name, 'What comes out of the ZIP is not what went in: the file is damaged.');
  }
  return unpacked;
}

function inflate(name: string, packed: Buffer, bytes: number): Buffer {
  try {
    return inflateRawSync(packed, { maxOutputLength: Math.max(1, bytes) });
  } catch (cause) {
    throw new NotAPackage(
      name,
      `What comes out of the ZIP is not what went in: ${cause instanceof Error ? cause.message : String(cause)}.`,
    );
  }
}
