import { inflateSync } from 'node:zlib';

/**
 * The characters that a WOFF 1.0 file has glyphs for, as code points (W3C Recommendation of 13 December 2012; table `cmap`: OpenType 1.9,
 * formats 4 and 12).
 *
 * Errors: Error for a file that is no such font; the shipped ones are.
 */
export function readFontCharacters(file: Uint8Array): ReadonlySet<number> {
  const cmap = readTable(file, 'cmap');
  const offsets = Array.from({ length: cmap.getUint16(2) }, (_, place) => cmap.getUint32(8 + 8 * place));
  const full = offsets.find((offset) => cmap.getUint16(offset) === 12);
  if (full !== undefined) return readGroups(cmap, full);
  const basic = offsets.find((offset) => cmap.getUint16(offset) === 4);
  if (basic === undefined) throw new Error('The font has no character map of format 4 or 12');
  return readSegments(cmap, basic);
}

function readTable(file: Uint8Array, wanted: string): DataView {
  const view = new DataView(file.buffer, file.byteOffset, file.byteLength);
  if (tagAt(view, 0) !== 'wOFF') throw new Error('Not a WOFF 1.0 file');
  for (let entry = 0; entry < view.getUint16(12); entry += 1) {
    const at = 44 + 20 * entry;
    if (tagAt(view, at) !== wanted) continue;
    const [offset, packed, size] = [view.getUint32(at + 4), view.getUint32(at + 8), view.getUint32(at + 12)];
    const bytes = file.subarray(offset, offset + packed);
    const plain = packed < size ? inflateSync(bytes) : bytes;
    return new DataView(plain.buffer, plain.byteOffset, plain.byteLength);
  }
  throw new Error(`The font has no table ${wanted}`);
}

function tagAt(view: DataView, at: number): string {
  return String.fromCharCode(...[0, 1, 2, 3].map((place) => view.getUint8(at + place)));
}

function readGroups(cmap: DataView, offset: number): Set<number> {
  const characters = new Set<number>();
  for (let group = 0; group < cmap.getUint32(offset + 12); group += 1) {
    const at = offset + 16 + 12 * group;
    const last = cmap.getUint32(at + 4);
    for (let codePoint = cmap.getUint32(at); codePoint <= last; codePoint += 1) characters.add(codePoint);
  }
  return characters;
}

function readSegments(cmap: DataView, offset: number): Set<number> {
  const characters = new Set<number>();
  const doubleCount = cmap.getUint16(offset + 6);
  const ends = offset + 14;
  const starts = ends + doubleCount + 2;
  const deltas = starts + doubleCount;
  const ranges = deltas + doubleCount;
  for (let place = 0; place < doubleCount; place += 2) {
    const [first, last] = [cmap.getUint16(starts + place), cmap.getUint16(ends + place)];
    const rangeOffset = cmap.getUint16(ranges + place);
    for (let codePoint = first; codePoint <= last && codePoint !== 0xffff; codePoint += 1) {
      const glyph =
        rangeOffset === 0
          ? (codePoint + cmap.getUint16(deltas + place)) & 0xffff
          : cmap.getUint16(ranges + place + rangeOffset + 2 * (codePoint - first));
      if (glyph !== 0) characters.add(codePoint);
    }
  }
  return characters;
}
