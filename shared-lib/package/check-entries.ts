/** What the directory of a ZIP says of a file in it. */
export interface ZipEntry {
  readonly name: string;
  readonly packedBytes: number;
  readonly unpackedBytes: number;
  readonly isEncrypted: boolean;
  /** A link, a device: anything but a plain file or a folder. */
  readonly isSpecial: boolean;
}

/** Ours: a package of 100 000 trials has some 200 100 files. */
const MOST_ENTRIES = 1_000_000;
/** Ours: counts and texts pack three to twelve times; long runs of one byte, as in a bomb, a thousand times. */
const MOST_TIMES = 200;
const SMALL_BYTES = 16 * 2 ** 20;
const MOST_NAME_LENGTH = 200;

/**
 * Why a ZIP of these files is not to be unpacked, before a byte of it is; null: nothing speaks against it. What it says of its sizes is
 * held against the truth as it is unpacked.
 */
export function whyNotUnpacked(entries: readonly ZipEntry[], zipBytes: number): string | null {
  if (entries.length > MOST_ENTRIES) {
    return `It names ${entries.length} files; more than ${MOST_ENTRIES} are not looked at.`;
  }
  const seen = new Map<string, string>();
  let packedBytes = 0;
  let unpackedBytes = 0;
  for (const entry of entries) {
    const { name } = entry;
    const shown = JSON.stringify(
      name.length > MOST_NAME_LENGTH ? `${name.slice(0, MOST_NAME_LENGTH)}…` : name,
    );
    const problem = whyNoSafeName(name);
    if (problem !== null) return `The file name ${shown} ${problem}.`;
    if (entry.isEncrypted) return `${shown} is encrypted, which a package never is.`;
    if (entry.isSpecial) return `${shown} is a link or another special file, which a package never has.`;
    const folded = name.toLowerCase();
    const other = seen.get(folded);
    if (other !== undefined) {
      return other === name
        ? `${shown} is in it twice.`
        : `${shown} and ${JSON.stringify(other)} differ in capitals only, so one would replace the other on many computers.`;
    }
    seen.set(folded, name);
    if (entry.unpackedBytes > SMALL_BYTES && entry.unpackedBytes > MOST_TIMES * entry.packedBytes) {
      return `${shown} says that it unpacks to ${entry.unpackedBytes} bytes from ${entry.packedBytes}; no measured data pack so well, so it is taken for a trap.`;
    }
    packedBytes += entry.packedBytes;
    unpackedBytes += entry.unpackedBytes;
  }
  if (packedBytes > zipBytes) return 'Its files overlap, which only a trap does.';
  if (unpackedBytes > SMALL_BYTES && unpackedBytes > MOST_TIMES * zipBytes) {
    return `It says that it unpacks to ${unpackedBytes} bytes from ${zipBytes}; no measured data pack so well, so it is taken for a trap.`;
  }
  return null;
}

/** What is wrong with the name of a file, so that "The file name X ..." is a sentence; null: nothing. */
function whyNoSafeName(name: string): string | null {
  if (name === '') return 'is empty';
  if (name.length > MOST_NAME_LENGTH) return 'is too long';
  if (name.includes('\\')) return 'has a backslash';
  if (name.startsWith('/') || /^[A-Za-z]:/.test(name)) return 'begins at the root of a disk';
  const parts = (name.endsWith('/') ? name.slice(0, -1) : name).split('/');
  if (parts.includes('..')) return 'climbs out of the package';
  if (parts.some((part) => !/^[A-Za-z0-9_-][A-Za-z0-9._-]*$/.test(part))) {
    return 'has other signs than letters, digits, points, hyphens and underscores';
  }
  return null;
}
