/** What a file is called that others will get: what it is of, what it holds, and when it was made. */
export interface PublishedNameParts {
  /** "Hollin H5 against Tarnwick T6". */
  readonly title: string;
  /** "data package", "report", "chart square dark". */
  readonly holds: string;
  readonly isSimulated: boolean;
  readonly madeAt: Date;
  /** Without a point; empty: a folder. */
  readonly extension: string;
}

/** Room for a number and for `.part` within what every file system takes, and for a folder's path before it on Windows. */
const LONGEST_TITLE = 80;

/**
 * "hollin-h5-against-tarnwick-t6-simulated-data-package-2026-11-26-1412.zip": letters and digits of ASCII with hyphens, which every
 * system, shell and address takes as they are. The time is that of this computer.
 */
export function publishedName({ title, holds, isSimulated, madeAt, extension }: PublishedNameParts): string {
  const words = [
    plainWords(title).slice(0, LONGEST_TITLE).replace(/-$/, ''),
    isSimulated ? 'simulated' : '',
    plainWords(holds),
    stamp(madeAt),
  ];
  const name = words.filter((word) => word !== '').join('-');
  return extension === '' ? name : `${name}.${extension}`;
}

/** The first of "name.zip", "name-2.zip", "name-3.zip" that is free. */
export function freeName(name: string, isTaken: (candidate: string) => boolean): string {
  const point = name.lastIndexOf('.');
  const [stem, ending] = point === -1 ? [name, ''] : [name.slice(0, point), name.slice(point)];
  let candidate = name;
  for (let number = 2; isTaken(candidate); number += 1) candidate = `${stem}-${number}${ending}`;
  return candidate;
}

/** Letters lose their marks ("é" is "e"); what ASCII has no letter for is left out. */
function plainWords(text: string): string {
  return text
    .normalize('NFKD')
    .replaceAll(/\p{M}/gu, '')
    .toLowerCase()
    .replaceAll(/[^a-z0-9]+/g, '-')
    .replaceAll(/^-|-$/g, '');
}

/** "2026-11-26-1412". */
function stamp(date: Date): string {
  const two = (value: number): string => String(value).padStart(2, '0');
  const day = `${date.getFullYear()}-${two(date.getMonth() + 1)}-${two(date.getDate())}`;
  return `${day}-${two(date.getHours())}${two(date.getMinutes())}`;
}
