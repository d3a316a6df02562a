import { inflateSync } from 'node:zlib';

/** What text widths need of a font file. Units are those of the font. */
export interface FontAdvances {
  readonly unitsPerEm: number;
  /** Code point to advance. */
  readonly advances: ReadonlyMap<number, number>;
  /** Of each figure where all are equally wide; null: the font has no such figures. */
  readonly figureAdvance: number | null;
}

const FIGURES = Array.from('0123456789', (figure) => figure.charCodeAt(0));

/**
 * Reads a WOFF 1.0 file (W3C Recommendation of 13 December 2012; tables: OpenType 1.9): advances by code point, and the width of a
 * figure under the feature `tnum`.
 */
export function readWoffAdvances(file: Uint8Array): FontAdvances {
  const tables = readTables(file);
  const unitsPerEm = table(tables, 'head').getUint16(18);
  const glyphs = readCharacterMap(table(tables, 'cmap'));
  const advanceOf = readAdvances(table(tables, 'hhea'), table(tables, 'hmtx'));
  const tabular = readTabularFigures(table(tables, 'GSUB'));
  const figures = FIGURES.flatMap((figure) => {
    const glyph = tabular.get(glyphs.get(figure) ?? -1);
    return glyph === undefined ? [] : [advanceOf(glyph)];
  });
  return {
    unitsPerEm,
    advances: new Map([...glyphs].map(([codePoint, glyph]) => [codePoint, advanceOf(glyph)])),
    figureAdvance:
      figures.length === FIGURES.length && new Set(figures).size === 1 ? (figures[0] ?? null) : null,
  };
}

function readTables(file: Uint8Array): Map<string, DataView> {
  const view = new DataView(file.buffer, file.byteOffset, file.byteLength);
  if (tagAt(view, 0) !== 'wOFF') throw new Error('Not a WOFF 1.0 file');
  const tables = new Map<string, DataView>();
  for (let entry = 0; entry < view.getUint16(12); entry += 1) {
    const at = 44 + 20 * entry;
    const [offset, packed, size] = [view.getUint32(at + 4), view.getUint32(at + 8), view.getUint32(at + 12)];
    const bytes = file.subarray(offset, offset + packed);
    const plain = packed < size ? inflateSync(bytes) : bytes;
    tables.set(tagAt(view, at), new DataView(plain.buffer, plain.byteOffset, plain.byteLength));
  }
  return tables;
}

function table(tables: ReadonlyMap<string, DataView>, tag: string): DataView {
  const found = tables.get(tag);
  if (found === undefined) throw new Error(`The font has no table ${tag}`);
  return found;
}

function tagAt(view: DataView, at: number): string {
  return String.fromCharCode(...[0, 1, 2, 3].map((place) => view.getUint8(at + place)));
}

/** Code point to glyph, of the first subtable for Unicode in format 12 or 4. */
function readCharacterMap(cmap: DataView): Map<number, number> {
  const subtables = Array.from({ length: cmap.getUint16(2) }, (_, place) => cmap.getUint32(8 + 8 * place));
  const full = subtables.find((offset) => cmap.getUint16(offset) === 12);
  if (full !== undefined) return readGroups(cmap, full);
  const basic = subtables.find((offset) => cmap.getUint16(offset) === 4);
  if (basic === undefined) throw new Error('The font has no character map of format 4 or 12');
  return readSegments(cmap, basic);
}

function readGroups(cmap: DataView, offset: number): Map<number, number> {
  const glyphs = new Map<number, number>();
  for (let group = 0; group < cmap.getUint32(offset + 12); group += 1) {
    const at = offset + 16 + 12 * group;
    const first = cmap.getUint32(at);
    for (let codePoint = first; codePoint <= cmap.getUint32(at + 4); codePoint += 1) {
      glyphs.set(codePoint, cmap.getUint32(at + 8) + codePoint - first);
    }
  }
  return glyphs;
}

function readSegments(cmap: DataView, offset: number): Map<number, number> {
  const glyphs = new Map<number, number>();
  const size = cmap.getUint16(offset + 6);
  for (let segment = 0; segment < size; segment += 2) {
    const last = cmap.getUint16(offset + 14 + segment);
    const first = cmap.getUint16(offset + 16 + size + segment);
    const delta = cmap.getUint16(offset + 16 + 2 * size + segment);
    const rangeAt = offset + 16 + 3 * size + segment;
    const range = cmap.getUint16(rangeAt);
    for (let codePoint = first; codePoint <= last && codePoint < 0xffff; codePoint += 1) {
      const listed = range === 0 ? codePoint : cmap.getUint16(rangeAt + range + 2 * (codePoint - first));
      if (range === 0 || listed !== 0) glyphs.set(codePoint, (listed + delta) & 0xffff);
    }
  }
  return glyphs;
}

function readAdvances(hhea: DataView, hmtx: DataView): (glyph: number) => number {
  const count = hhea.getUint16(34);
  return (glyph) => hmtx.getUint16(4 * Math.min(glyph, count - 1));
}

/** Glyph to the glyph of the same width for all figures: lookups of type 1, or of type 7 that lead to it. */
function readTabularFigures(gsub: DataView): Map<number, number> {
  const [features, lookups] = [gsub.getUint16(6), gsub.getUint16(8)];
  const found = new Map<number, number>();
  for (let feature = 0; feature < gsub.getUint16(features); feature += 1) {
    const at = features + 2 + 6 * feature;
    if (tagAt(gsub, at) !== 'tnum') continue;
    const body = features + gsub.getUint16(at + 4);
    for (let place = 0; place < gsub.getUint16(body + 2); place += 1) {
      const index = gsub.getUint16(body + 4 + 2 * place);
      const lookup = lookups + gsub.getUint16(lookups + 2 + 2 * index);
      for (const [from, to] of readLookup(gsub, lookup)) found.set(from, to);
    }
  }
  return found;
}

function readLookup(gsub: DataView, lookup: number): [number, number][] {
  return Array.from({ length: gsub.getUint16(lookup + 4) }, (_, place) => {
    const subtable = lookup + gsub.getUint16(lookup + 6 + 2 * place);
    const type = gsub.getUint16(lookup);
    if (type === 1) return readSingleSubstitution(gsub, subtable);
    if (type === 7 && gsub.getUint16(subtable + 2) === 1) {
      return readSingleSubstitution(gsub, subtable + gsub.getUint32(subtable + 4));
    }
    throw new Error(`Lookups of type ${type} are not read here`);
  }).flat();
}

function readSingleSubstitution(gsub: DataView, at: number): [number, number][] {
  const covered = readCoverage(gsub, at + gsub.getUint16(at + 2));
  const isByDelta = gsub.getUint16(at) === 1;
  return covered.map((glyph, place) => [
    glyph,
    isByDelta ? (glyph + gsub.getInt16(at + 4)) & 0xffff : gsub.getUint16(at + 6 + 2 * place),
  ]);
}

function readCoverage(gsub: DataView, at: number): number[] {
  const count = gsub.getUint16(at + 2);
  if (gsub.getUint16(at) === 1) {
    return Array.from({ length: count }, (_, place) => gsub.getUint16(at + 4 + 2 * place));
  }
  return Array.from({ length: count }, (_, place) => {
    const [first, last] = [gsub.getUint16(at + 4 + 6 * place), gsub.getUint16(at + 6 + 6 * place)];
    return Array.from({ length: last - first + 1 }, (_one, step) => first + step);
  }).flat();
}
